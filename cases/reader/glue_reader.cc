#include "cases/reader/cut_reader.h"
#include "cases/reader/limb_reader.h"

#include "cases/reader/nearest_name.h"
#include "cases/reader/patch_reader.h"
#include "cases/reader/zone_places.h"
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
    view.complaints().error(view.place_of("bond_stiffness"),
                            "is missing; a bond of thickness 0 in needs a stiffness, for example \"1e14 Pa/m\" for a stiff one");
  if (line.thickness > 0. && !std::isnan(line.bond_stiffness))
    view.complaints().error(view.place_of("bond_stiffness"),
                            "a glue line with a thickness takes its stiffness from the adhesive; leave out bond_stiffness");
}

void read_line(const TomlView &view, LimbDescription &limb, std::set<std::size_t> &seen)
{
  GlueLineInput input;
  read_section(view, glue_line_section(), input);
  if (!view.find("between") || input.between[0].empty())
    return;
  const auto pair = laminations_between(view, input.between, limb);
  if (!pair)
    return;
  const auto [index, back] = *pair;
  if (back != index + 1)
  {
    view.find("between")->error(
        fmt::format("{} and {} are not neighbors in the list of laminations. Where they touch because the one between them has "
                    "ended, the glue line is that between {} and {}, which continues: name that one",
                    in_quotes(limb.laminations[index].name), in_quotes(limb.laminations[back].name),
                    in_quotes(limb.laminations[index].name), in_quotes(limb.laminations[index + 1].name)));
    return;
  }
  if (!seen.insert(index).second)
    view.error("this glue line was already given");
  GlueLineDescription &line = limb.glue[index];
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

void check_parting(const TomlView &document, const LimbDescription &limb, const std::map<std::string, Material> &materials,
                   const std::map<std::string, Adhesive> &adhesives)
{
  for (const GlueStretch &stretch : stretches_if_sound(document, limb))
  {
    const GlueLineDescription &line = limb.glue[stretch.line];
    const LaminationDescription &belly_side = limb.laminations[stretch.line], &back_side = limb.laminations[stretch.back];
    const auto adhesive = adhesives.find(line.adhesive);
    const auto belly = materials.find(belly_side.material), back = materials.find(back_side.material);
    if (!line.cohesive || adhesive == adhesives.end() || belly == materials.end() || back == materials.end())
      continue; // what is missing has been complained about
    const TomlView glue = *document.find("glue");
    const auto check = [&](const GluePatch *patch, double station, const std::string &name)
    {
      const GlueBond held(line, patch, true, adhesives);
      CohesiveBond bond = held.parting(belly->second, belly_side.ring, back->second, back_side.ring);
      const BondStiffness stiffness = held.stiffness(station, line.thickness + (patch == nullptr ? 0. : patch->gap_at(station)));
      bond.normal_stiffness = stiffness.normal;
      bond.shear_stiffness = stiffness.shear;
      if (const std::string fault = unsound(bond); !fault.empty())
        glue.complaints().error(glue.place_of("parts"),
                                fmt::format("the glue between {} and {} cannot let go: {}; correct {}, or write parts = \"no\"",
                                            belly_side.name, back_side.name, fault, in_quotes(name)));
    };
    check(nullptr, 0., line.adhesive);
    for (const GluePatch &patch : line.patches)
      if (patch.filled() && adhesives.contains(patch.filling) && stretch.reaches(0.5 * (patch.from + patch.to)))
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
                                   "is missing; a limb with several laminations needs [glue] with adhesive and thickness");
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
      lines->error("write each glue line that differs as its own table, [[glue.line]]");
    std::set<std::size_t> seen;
    for (const TomlView &entry : lines->entries())
      read_line(entry, limb, seen);
  }
  if (stack_includes_glue)
    take_glue_off(*view, limb);
  read_patches(*view, limb_view, limb);
  for (GlueLineDescription &line : limb.glue)
    if (std::isnan(line.bond_stiffness))
      line.bond_stiffness = 0.;
}
} // namespace limbwright
