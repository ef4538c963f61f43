#include "cases/study/unlike_limbs.h"

#include "cases/report/output_units.h"

#include <fmt/format.h>

#include <algorithm>
#include <sstream>
#include <vector>

namespace limbwright
{
namespace
{
/// A table of a resolved case, every key on a line of its own.
struct Block
{
  std::string head; //!< "[limb.nock]"; empty: the top of the file
  std::vector<std::string> lines;

  static bool states(const std::string &line, const std::string &key) { return line.rfind(key + " = ", 0) == 0; }
  void remove(const std::string &key)
  {
    std::erase_if(lines, [&](const std::string &line) { return states(line, key); });
  }
  void set(const std::string &key, const std::string &literal)
  {
    remove(key);
    lines.push_back(key + " = " + literal);
  }
};

std::vector<Block> blocks_of(const std::string &resolved)
{
  std::vector<Block> blocks(1);
  std::istringstream text(resolved);
  for (std::string line; std::getline(text, line);)
    if (!line.empty() && line.front() == '[')
      blocks.push_back({line, {}});
    else if (!line.empty())
      blocks.back().lines.push_back(line);
  return blocks;
}

std::string table_literal(const StationTable &table)
{
  if (table.station.size() == 1)
    return fmt::format("\"{:.6g} in\"", table.value.front() / inch);
  std::string rows;
  for (std::size_t i = 0; i < table.station.size(); ++i)
    rows += fmt::format("{}[{:.6g}, {:.6g}]", rows.empty() ? "" : ", ", table.station[i] / inch, table.value[i] / inch);
  return fmt::format("{{s = \"in\", thickness = \"in\", between_rows = \"{}\", rows = [{}]}}",
                     table.smooth ? "smooth" : "straight", rows);
}

/// The tables of one limb under its own name.
std::vector<Block> limb_blocks(const std::vector<Block> &all, const std::string &from, const std::string &name,
                               const LimbDescription &limb)
{
  std::vector<Block> blocks;
  std::size_t lamination = 0;
  for (Block block : all)
  {
    const std::size_t begin = block.head.find_first_not_of('[');
    if (begin == std::string::npos || block.head.compare(begin, from.size(), from) != 0 ||
        (block.head[begin + from.size()] != '.' && block.head[begin + from.size()] != ']'))
      continue;
    block.head.replace(begin, from.size(), name);
    if (block.head == "[" + name + "]")
      block.set("length", fmt::format("\"{:.8g} in\"", limb.nock.station / inch));
    if (block.head == "[[" + name + ".lamination]]")
    {
      const LaminationDescription &piece = limb.laminations.at(lamination++);
      for (const char *key : {"butt", "taper"})
        block.remove(key);
      block.set("thickness", table_literal(piece.thickness));
      block.set("material", "\"" + piece.material + "\"");
    }
    blocks.push_back(std::move(block));
  }
  return blocks;
}

/// The conditions of the source stay: by them the moisture counts.
std::string modulus_literal(const Material &material, const char *key, double value, const std::string &why)
{
  const auto source = material.sources.find(key);
  return fmt::format("{{value = \"{:.8g} Pa\", provenance = \"derived\", source = \"{}\", conditions = \"{}\"}}", value, why,
                     source == material.sources.end() ? std::string{} : source->second.conditions);
}

Block material_block(const std::vector<Block> &all, const std::string &base, const Material &material, const std::string &why)
{
  const auto found = std::find_if(
      all.begin(), all.end(),
      [&](const Block &block) { return block.head == "[material." + base + "]" || block.head == "[material.\"" + base + "\"]"; });
  Block block{"", {}};
  if (found != all.end())
    block = *found;
  block.head = "[material.\"" + material.name + "\"]";
  const OrthotropicConstants &c = material.constants;
  for (const auto &[key, value] :
       {std::pair{"E_L", c.E_L}, {"E_R", c.E_R}, {"E_T", c.E_T}, {"G_LR", c.G_LR}, {"G_LT", c.G_LT}, {"G_RT", c.G_RT}})
    block.set(key, modulus_literal(material, key, value, why));
  block.set("density", fmt::format("\"{:.8g} kg/m3\"", material.density));
  return block;
}
} // namespace

std::string text_with_limbs_of(const Case &bow_case, const Case &built, const std::string &why)
{
  const std::vector<Block> all = blocks_of(bow_case.resolved);
  std::vector<Block> out;
  const bool like = !bow_case.bow.lower.has_value();
  bool limbs_written = false;
  for (Block block : all)
  {
    const std::string path = block.head.empty() ? std::string{} : block.head.substr(block.head.find_first_not_of('['));
    const auto of = [&](const char *table)
    { return path.rfind(std::string(table) + ".", 0) == 0 || path.rfind(std::string(table) + "]", 0) == 0; };
    if (of("limb") || of("upper") || of("lower"))
    {
      if (!limbs_written)
        for (const auto &[name, limb] : {std::pair{"upper", &built.bow.upper}, {"lower", &*built.bow.lower}})
          for (Block &one : limb_blocks(all, like ? "limb" : name, name, *limb))
            out.push_back(std::move(one));
      limbs_written = true;
      continue;
    }
    if (path == "measured.strip]]")
      continue; // they are in the bow now
    if (path == "bow]")
      block.remove("nock_to_nock");
    if (path == "glue]")
      block.set("stack", "\"laminations\"");
    out.push_back(std::move(block));
  }
  const BowDescription &bow = bow_case.bow;
  for (const auto &[of_built, of_case] :
       {std::pair{&built.bow.upper, &bow.upper}, {&*built.bow.lower, like ? &bow.upper : &*bow.lower}})
    for (std::size_t i = 0; i < of_built->laminations.size(); ++i)
      if (const std::string &name = of_built->laminations[i].material; !bow.materials.contains(name))
        out.push_back(material_block(all, of_case->laminations[i].material, built.bow.materials.at(name), why));
  std::string text;
  for (const Block &block : out)
  {
    text += block.head.empty() ? std::string{} : "\n" + block.head + "\n";
    for (const std::string &line : block.lines)
      text += line + "\n";
  }
  return text;
}
} // namespace limbwright
