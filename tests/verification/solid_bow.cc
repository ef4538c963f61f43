// Bows drawn as solids against their side views.
#include "support/cases.h"
#include "support/check_table.h"

#include "meshing/mesh/limb_mesh.h"
#include "solver/stages/draw_bow.h"

using namespace limbwright;
using namespace limbwright::checks;

namespace
{
// The shipped glass bow on a coarse mesh, elastic, its width multiplied.
Case coarse_glass_bow(double width_factor)
{
  Case bow_case =
      read(std::filesystem::path(LIMBWRIGHT_TEST_DATA) / ".." / ".." / "cases/examples/maple-glass-thin/maple-glass-thin.toml");
  for (double &width : bow_case.bow.upper.width.value)
    width *= width_factor;
  bow_case.mesh.column_length = 0.04;
  bow_case.mesh.rows_per_lamination = 1;
  bow_case.mesh.end_refinement = 1.;
  bow_case.mesh.strips = 1;
  bow_case.solve.wood_yields = false;
  bow_case.solve.cycles = 0;
  return bow_case;
}

double weight(Case bow_case, int dimension)
{
  bow_case.solve.dimension = dimension;
  return run_to_the_end(bow_case).draw_weight;
}
} // namespace

TEST_CASE("A narrow bow weighs as a solid what it weighs in its side view", "[slow]")
{
  const Case narrow = coarse_glass_bow(0.3), wide = coarse_glass_bow(1.);
  CheckTable table("Draw weight, solid against side view in plane stress", "its own side view");
  table.relative("width x 0.3 [N]", weight(narrow, 3), weight(narrow, 2), 5e-3);
  // A wide limb is held a little against bending across; plane strain is 2 % stiffer at most.
  table.relative("as shipped [N]", weight(wide, 3), weight(wide, 2), 1e-2);
}

TEST_CASE("A solid comes to the same state from its side view as step by step", "[slow]")
{
  const Case bow_case = coarse_glass_bow(1.);
  const BowDescription bow = bow_in_use(bow_case).bow;
  SolveSettings settings = bow_case.solve;
  settings.dimension = 3;
  settings.overdraw = false;
  const LimbMesh<3> mesh(LimbShape(bow.upper), bow_case.mesh);
  BowPath path(mesh, bow, settings);
  const DrawPath step_by_step = path.run({}, nullptr);
  REQUIRE(step_by_step.complete);
  const DrawResults at_once = draw_bow(bow, bow_case.mesh, settings, {}, {}, {}, nullptr);
  REQUIRE(at_once.complete);
  CheckTable table("Solid bow begun from its side view", "the same bow drawn step by step");
  table.relative("draw weight [N]", at_once.draw_weight, step_by_step.steps.back().point.force, 1e-6);
  table.relative("brace tension [N]", at_once.brace_tension, step_by_step.steps[1].point.tension, 1e-6);
  table.relative("energy stored [J]", at_once.stored_energy, step_by_step.steps.back().point.work, 2e-4);
  table.at_most("iterations", at_once.solve.brace_iterations + at_once.solve.draw_iterations, 14.);
}
