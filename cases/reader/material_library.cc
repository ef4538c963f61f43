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
};

Library read_library()
{
  Library library;
  for (const EmbeddedFile &file : embedded_library())
  {
    Complaints complaints("materials/library/" + file.name + ".toml");
    if (const auto table = parse_toml(file.text, complaints))
    {
      const auto entry = read_library_file(file.name, TomlView(*table, "", complaints));
      if (const Material *material = std::get_if<Material>(&entry))
        library.materials[file.name] = *material;
      else if (const Adhesive *adhesive = std::get_if<Adhesive>(&entry))
        library.adhesives[file.name] = *adhesive;
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

const std::map<std::string, Material> &library_materials() { return library().materials; }
const std::map<std::string, Adhesive> &library_adhesives() { return library().adhesives; }
} // namespace limbwright
