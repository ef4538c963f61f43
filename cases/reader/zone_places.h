#pragma once

#include "cases/reader/toml_view.h"
#include "meshing/shape/limb_description.h"

#include <array>
#include <optional>
#include <string>

namespace limbwright
{
// What the tables of weak zones and of patches have in common.

/// Whether an entry is of this limb ("limb", "upper", "lower"); complains where it names one of two like limbs.
bool of_this_limb(const TomlView &view, const std::string &limb_name, const std::string &written);

/// The lamination of this name; nothing after a complaint.
std::optional<std::size_t> lamination_named(const TomlView &view, const std::string &name, const LimbDescription &limb);

void check_goes_with(const TomlView &view, const char *key, bool fits, const char *what);

/// Calls read(entry) for each table [[parent.name]].
template <class Read>
void read_each(const TomlView &parent, const char *name, const Read &read)
{
  const auto list = parent.find(name);
  if (!list)
    return;
  if (!list->node().is_array())
    list->error("write each as its own table, [[" + parent.path() + "." + name + "]]");
  for (const TomlView &entry : list->entries())
    read(entry);
}
/// The laminations that the key `between` names, belly side first; nothing after a complaint.
std::optional<std::array<std::size_t, 2>> laminations_between(const TomlView &view, const std::array<std::string, 2> &names,
                                                              const LimbDescription &limb);
} // namespace limbwright
