#pragma once

#include "cases/reader/toml_view.h"
#include "meshing/shape/limb_description.h"

#include <optional>
#include <string>

namespace limbwright
{
// What the tables of weak zones have in common.

/// Whether an entry is of this limb ("limb", "upper", "lower"); complains where it names one of two like limbs.
bool of_this_limb(const TomlView &view, const std::string &limb_name, const std::string &written);

/// The lamination of this name; nothing after a complaint.
std::optional<std::size_t> lamination_named(const TomlView &view, const std::string &name, const LimbDescription &limb);

void check_goes_with(const TomlView &view, const char *key, bool fits, const char *what);

/// Calls read(entry) for each table [[weak.name]].
template <class Read>
void read_each(const TomlView &weak, const char *name, const Read &read)
{
  const auto list = weak.find(name);
  if (!list)
    return;
  if (!list->node().is_array())
    list->error(std::string("write each as a table of its own, [[weak.") + name + "]]");
  for (const TomlView &entry : list->entries())
    read(entry);
}
} // namespace limbwright
