#include "cases/study/bow_figures.h"

#include "cases/report/output_units.h"
#include "cases/report/verdict.h"
#include "cases/report/words.h"
#include "meshing/shape/limb_shape.h"

#include <algorithm>
#include <cmath>

namespace limbwright
{
namespace
{
/// The larger of two, one of which may not be known.
void take(double &worst, double value)
{
  if (!(worst >= value) && std::isfinite(value))
    worst = value;
}

double mass_from(const Case &bow_case, const LimbDescription &limb, double station)
{
  std::vector<double> laminations, glue;
  for (const auto &lamination : limb.laminations)
    laminations.push_back(bow_case.bow.materials.at(lamination.material).density);
  for (const auto &line : limb.glue)
    glue.push_back(line.thickness > 0. ? bow_case.bow.adhesives.at(line.adhesive).density : 0.);
  return LimbShape(limb).mass(laminations, glue, station);
}
} // namespace

BowFigures figures_of(const Case &bow_case, const DrawResults &results)
{
  BowFigures f;
  const LimbDescription &upper = bow_case.bow.upper;
  f.weight = results.draw_weight;
  f.stack = LimbShape(upper).stack(0.5 * (upper.root_station + upper.tip_station));
  f.mass = results.mass_upper + results.mass_lower;
  f.outer_mass = mass_from(bow_case, upper, std::max(upper.root_station, upper.tip_station - 8. * inch));
  f.energy = results.stored_energy;
  f.rise = results.rise_per_metre;
  f.brace_tension = results.brace_tension;
  f.set = 0.5 * (results.let_down.set_upper + results.let_down.set_lower);
  if (!results.symmetric)
    f.tiller = results.gaps_full.tiller();
  const auto inner = [&](LimbName limb, int lamination)
  { return lamination > 0 && lamination + 1 < static_cast<int>(limb_of(bow_case, limb).laminations.size()); };
  const Verdict verdict = verdict_of(bow_case, results);
  f.level = verdict.level;
  f.belly_index = index_of(verdict.belly);
  f.back_index = index_of(verdict.back);
  f.core_index = index_of(verdict.core);
  f.glue_index = index_of(verdict.glue);
  f.worst_index = verdict.worst_index();
  if (results.snapshots.empty())
    return f;
  for (const LimbSnapshot &limb : results.snapshots.back().limbs)
  {
    for (const FaceState &face : limb.faces)
    {
      take(f.belly_strain, -face.strain_along);
      take(f.back_strain, face.strain_along);
      if (inner(limb.limb, face.lamination))
        take(f.core_strain, -face.strain_along);
    }
    for (const GlueState &glue : limb.glue)
      if (!glue.near_end)
        take(f.glue_shear, std::abs(glue.mean_shear));
  }
  return f;
}
} // namespace limbwright
