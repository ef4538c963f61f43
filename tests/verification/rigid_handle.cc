#include "cases/report/output_units.h"
#include "meshing/shape/limb_shape.h"
#include "support/cases.h"
#include "support/check_table.h"

#include <algorithm>
#include <cmath>

using namespace limbwright;
using namespace limbwright::checks;

namespace
{
// Largest strain along the grain in the belly lamination at the last draw [1], at the limb's root and ends by the section's fit.
double worst_strain(const DrawResults &results)
{
  double worst = 0.;
  for (const FaceState &face : results.snapshots.back().limbs.front().faces)
    if (face.lamination == 0)
      worst = std::max(worst, std::abs(face.strain_along));
  return worst;
}

int riser_of(const LimbDescription &limb)
{
  for (std::size_t i = 0; i < limb.laminations.size(); ++i)
    if (limb.laminations[i].grain == GrainDirection::along_handle)
      return static_cast<int>(i);
  return -1;
}

// The same bow held rigid to the end of its fades: what is left of the limb, where it was.
Case held_rigid(Case bow)
{
  LimbDescription &limb = bow.bow.upper;
  const int riser = riser_of(limb);
  const LimbShape whole(limb);
  const double end = whole.end(static_cast<std::size_t>(riser));
  limb.root_station = end;
  limb.root_back_x = whole.back(end)[0];
  limb.root_back_y = whole.back(end)[1];
  limb.laminations.erase(limb.laminations.begin() + riser);
  limb.glue.erase(limb.glue.begin() + riser); // the line on its belly side goes on between its neighbours
  return bow;
}
} // namespace

TEST_CASE("What a rigid handle costs: the beam's twins", "[slow]")
{
  struct Pair
  {
    std::string name;
    double rigid, bending; // [lbf]
  };
  for (const Pair &pair : {Pair{"maple-glass-thin", 43.1, 40.1}, Pair{"maple-glass-thick", 43.2, 40.3}})
  {
    const DrawResults rigid = run_to_the_end(twin(pair.name)), bending = run_to_the_end(twin(pair.name + "-riser"));
    // The fades of the solid give by their shear as well, which the beam leaves out; its figures are rounded to a quarter
    // of a per cent.
    CheckTable table("Held rigid to the fades' ends against fades that bend: " + pair.name,
                     "independent elastic beam calculation with and without the fades");
    table.relative("draw weight, rigid over bending [1]", rigid.draw_weight / bending.draw_weight, pair.rigid / pair.bending,
                   0.015);
    table.relative("brace tension, rigid over bending [1]", rigid.brace_tension / bending.brace_tension, 51. / 49., 0.02);
  }
}

TEST_CASE("What a rigid handle costs: every example with a riser", "[slow]")
{
  int n_risers = 0;
  for (const auto &file : case_files(LIMBWRIGHT_EXAMPLES))
  {
    const Case bow = read(file);
    // A layer that is loose over the end of the fades bends and buckles there: another question.
    const auto &glue = bow.bow.upper.glue;
    const bool sound =
        std::all_of(glue.begin(), glue.end(), [](const auto &line) { return line.patches.empty() && !line.cohesive; });
    if (riser_of(bow.bow.upper) < 0 || !sound)
      continue;
    ++n_risers;
    REQUIRE_FALSE(bow.bow.lower);
    const DrawResults bending = run_to_the_end(bow), rigid = run_to_the_end(held_rigid(bow));
    CheckTable table("Held rigid to the fades' ends: " + bow.name,
                     "the same bow with fades that bend; bounds from the beam's 7 %");
    table.note("draw weight, fades bend [lbf]", bending.draw_weight / pound_force);
    table.note("draw weight, rigid [lbf]", rigid.draw_weight / pound_force);
    table.note("brace tension, fades bend [lbf]", bending.brace_tension / pound_force);
    table.note("brace tension, rigid [lbf]", rigid.brace_tension / pound_force);
    table.note("largest strain of the belly glass, fades bend [%]", 100. * worst_strain(bending));
    table.note("largest strain of the belly glass, rigid [%]", 100. * worst_strain(rigid));
    table.at_least("draw weight, rigid over bending [1]", rigid.draw_weight / bending.draw_weight, 1.04);
    table.at_most("draw weight, rigid over bending [1]", rigid.draw_weight / bending.draw_weight, 1.12);
    // A longer working limb bends less for the same draw.
    table.at_least("strain, rigid over bending [1]", worst_strain(rigid) / worst_strain(bending), 1.);
    table.at_most("strain, rigid over bending [1]", worst_strain(rigid) / worst_strain(bending), 1.15);
  }
  REQUIRE(n_risers >= 2);
}
