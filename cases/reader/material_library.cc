#include "cases/reader/material_library.h"

#include "cases/reader/embedded_files.h"
#include "cases/reader/material_reader.h"

#include <fmt/format.h>

#include <stdexcept>

namespace limbwright
{
namespace
{
struct Library
{
  std::map<std::string, Material> materials;
  std::map<std::string, Adhesive> adhesives;
  std::map<std::string, std::string> further_units;
};

/// Notes the units of the entry's further properties.
template <class T>
void note_units(const T &entry, const TomlView &view, std::map<std::string, std::string> &units)
{
  for (const auto &[key, value] : entry.further)
  {
    const TomlView property = *view.find(key);
    const TomlView written = property.find("value").value_or(property);
    units[key] = parse_quantity(written.node().template value<std::string>().value_or("1"), Dimension::any).si_unit;
  }
}

Library read_library()
{
  Library library;
  for (const EmbeddedFile &file : embedded_library())
  {
    Complaints complaints("materials/library/" + file.name + ".toml");
    if (const auto table = parse_toml(file.text, complaints))
    {
      const TomlView view(*table, "", complaints);
      const auto entry = read_library_file(file.name, view);
      if (const Material *material = std::get_if<Material>(&entry))
      {
        library.materials[file.name] = *material;
        note_units(*material, view, library.further_units);
      }
      else if (const Adhesive *adhesive = std::get_if<Adhesive>(&entry))
      {
        library.adhesives[file.name] = *adhesive;
        note_units(*adhesive, view, library.further_units);
      }
    }
    if (complaints.n_errors() > 0)
      throw std::logic_error(fmt::format("mistake in the material library: {}", format(complaints.errors().front())));
  }
  return library;
}

const Library &library()
{
  static const Library once = read_library();
  return once;
}
} // namespace

const std::map<std::string, Material> &library_materials()
{
  return library().materials;
}
const std::map<std::string, Adhesive> &library_adhesives()
{
  return library().adhesives;
}
const std::map<std::string, std::string> &library_further_units()
{
  return library().further_units;
}
} // namespace limbwright
