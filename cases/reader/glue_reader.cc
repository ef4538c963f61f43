#include "cases/reader/cut_reader.h"
#include "cases/reader/limb_reader.h"

#include "cases/reader/nearest_name.h"
#include "solver/model/glue_bond.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

namespace limbwright
{
namespace
{
void check_bond(const TomlView &view, const GlueLineDescription &line)
{
  if (line.thickness == 0. && std::isnan(line.bond_stiffness) && !view.find("bond_stiffness"))
    view.complaints().error(
        view.place_of("bond_stiffness"),
        "is missing: a bond of thickness 0 in needs its stiffness, for example \"1e14 Pa/m\" for a stiff one");
  if (line.thickness > 0. && !std::isnan(line.bond_stiffness))
    view.complaints().error(view.place_of("bond_stiffness"),
                            "a glue line with a thickness takes its stiffness from the adhesive; leave bond_stiffness out");
}

/// The glue line that `between` names, or -1 after a complaint.
int line_between(const TomlView &view, const std::array<std::string, 2> &pair,
                 const std::vector<LaminationDescription> &laminations)
{
  std::vector<std::string> names;
  for (const LaminationDescription &lamination : laminations)
    names.push_back(lamination.name);
  const TomlView between = *view.find("between");
  std::array<int, 2> index{};
  bool sound = true;
  for (std::size_t k = 0; k < 2; ++k)
  {
    const auto found = std::find(names.begin(), names.end(), pair[k]);
    index[k] = static_cast<int>(found - names.begin());
    if (found == names.end())
    {
      between.error(fmt::format("no lamination is called {}; {}", in_quotes(pair[k]), name_advice(pair[k], names)));
      sound = false;
    }
  }
  if (sound && std::abs(index[0] - index[1]) != 1)
  {
    between.error(fmt::format("{} and {} are not neighbours in the list of laminations, so no glue line joins them",
                              in_quotes(pair[0]), in_quotes(pair[1])));
    sound = false;
  }
  return sound ? std::min(index[0], index[1]) : -1;
}

void read_line(const TomlView &view, LimbDescription &limb, std::set<int> &seen)
{
  GlueLineInput input;
  read_section(view, glue_line_section(), input);
  if (!view.find("between") || input.between[0].empty())
    return;
  const int index = line_between(view, input.between, limb.laminations);
  if (index < 0)
    return;
  if (!seen.insert(index).second)
    view.error("this glue line has been stated before");
  GlueLineDescription &line = limb.glue[static_cast<std::size_t>(index)];
  if (!input.adhesive.empty())
    line.adhesive = input.adhesive;
  if (!std::isnan(input.thickness) && input.thickness != line.thickness)
  {
    line.thickness = input.thickness;
    line.bond_stiffness = not_given; // the other lines' is for their thickness
  }
  if (!std::isnan(input.bond_stiffness))
    line.bond_stiffness = input.bond_stiffness;
  line.cohesive = input.cohesive.value_or(line.cohesive);
  check_bond(view, line);
}

void read_patch(const TomlView &view, const std::string &limb_name, LimbDescription &limb)
{
  GluePatchInput input;
  read_section(view, glue_patch_section(), input);
  if (!view.find("between") || input.between[0].empty() || !view.find("from") || !view.find("to"))
    return;
  if (limb_name == "limb" && input.limb != "both")
  {
    view.find("limb")->error("this bow's limbs are alike, and both have the patch: write [upper] and [lower] in place of [limb]");
    return;
  }
  if (limb_name != "limb" && input.limb != "both" && input.limb != limb_name)
    return;
  const int index = line_between(view, input.between, limb.laminations);
  if (index < 0)
    return;
  if (input.patch.to <= input.patch.from)
  {
    view.find("to")->error("the patch must end nearer the tip than it begins");
    return;
  }
  check_filling(view, input.patch);
  std::vector<GluePatch> &patches = limb.glue[static_cast<std::size_t>(index)].patches;
  for (const GluePatch &other : patches)
    if (other.from < input.patch.to && input.patch.from < other.to)
      view.error("overlaps a patch stated before in the same glue line");
  if (input.patch.from < limb.root_station || input.patch.to > limb.tip_station)
    view.error(fmt::format("lies outside the limb, which runs from {:.2f} to {:.2f} in", limb.root_station / 0.0254,
                           limb.tip_station / 0.0254));
  patches.push_back(input.patch);
}

/// Takes half of every glue line a lamination touches off its thickness.
void take_glue_off(const TomlView &view, LimbDescription &limb)
{
  for (std::size_t i = 0; i < limb.laminations.size(); ++i)
  {
    const double glue = 0.5 * ((i > 0 ? limb.glue[i - 1].thickness : 0.) + (i < limb.glue.size() ? limb.glue[i].thickness : 0.));
    StationTable &thickness = limb.laminations[i].thickness;
    if (thickness.empty())
      continue;
    for (double &value : thickness.value)
      value = std::max(0., value - glue);
    if (*std::max_element(thickness.value.begin(), thickness.value.end()) == 0.)
      view.complaints().error(view.place_of("stack"), fmt::format("nothing is left of lamination {} once its glue is taken off",
                                                                  in_quotes(limb.laminations[i].name)));
  }
}
} // namespace

namespace
{
std::string joined(const LimbDescription &limb, std::size_t line)
{
  return limb.laminations[line].name + " and " + limb.laminations[line + 1].name;
}
} // namespace

void check_parting(const TomlView &document, const LimbDescription &limb, const std::map<std::string, Material> &materials,
                   const std::map<std::string, Adhesive> &adhesives)
{
  for (std::size_t i = 0; i < limb.glue.size(); ++i)
  {
    const GlueLineDescription &line = limb.glue[i];
    const auto adhesive = adhesives.find(line.adhesive);
    const auto belly = materials.find(limb.laminations[i].material), back = materials.find(limb.laminations[i + 1].material);
    if (!line.cohesive || adhesive == adhesives.end() || belly == materials.end() || back == materials.end())
      continue; // what is missing has been complained about
    const TomlView glue = *document.find("glue");
    const auto check = [&](const GluePatch *patch, double station, const std::string &name)
    {
      const GlueBond held(line, patch, true, adhesives);
      CohesiveBond bond = held.parting(belly->second, limb.laminations[i].ring, back->second, limb.laminations[i + 1].ring);
      const BondStiffness stiffness = held.stiffness(station, line.thickness + (patch == nullptr ? 0. : patch->gap_at(station)));
      bond.normal_stiffness = stiffness.normal;
      bond.shear_stiffness = stiffness.shear;
      if (const std::string fault = unsound(bond); !fault.empty())
        glue.complaints().error(glue.place_of("parts"), fmt::format("the glue between {} cannot be told to part: {}; mend {}, or "
                                                                    "leave parts = \"no\"",
                                                                    joined(limb, i), fault, in_quotes(name)));
    };
    check(nullptr, 0., line.adhesive);
    for (const GluePatch &patch : line.patches)
      if (patch.filled() && adhesives.contains(patch.filling))
        check(&patch, 0.5 * (patch.from + patch.to), patch.filling);
  }
}

void read_glue(const TomlView &document, const TomlView &limb_view, LimbDescription &limb, bool &stack_includes_glue)
{
  GlueInput input;
  input.line.thickness = input.line.bond_stiffness = not_given;
  const auto view = document.find("glue");
  if (!view)
  {
    if (limb.laminations.size() > 1)
      limb_view.complaints().error({limb_view.place().line, limb_view.place().column, "glue"},
                                   "is missing: a limb of several laminations needs [glue] with adhesive and thickness");
    return;
  }
  read_section(*view, glue_section(), input);
  check_bond(*view, input.line);
  stack_includes_glue = input.stack_includes_glue;
  if (limb.laminations.empty())
    return;
  limb.glue.assign(limb.laminations.size() - 1, input.line);
  if (const auto lines = view->find("line"))
  {
    if (!lines->node().is_array())
      lines->error("write every differing glue line as a table of its own, [[glue.line]]");
    std::set<int> seen;
    for (const TomlView &entry : lines->entries())
      read_line(entry, limb, seen);
  }
  if (const auto patches = view->find("patch"))
  {
    if (!patches->node().is_array())
      patches->error("write every patch as a table of its own, [[glue.patch]]");
    for (const TomlView &entry : patches->entries())
      read_patch(entry, limb_view.place().key, limb);
  }
  if (stack_includes_glue)
    take_glue_off(*view, limb);
  for (GlueLineDescription &line : limb.glue)
    if (std::isnan(line.bond_stiffness))
      line.bond_stiffness = 0.;
}
} // namespace limbwright
