#include "solver/stages/draw_path.h"

#include "support/bodies.h"
#include "support/check_table.h"
#include "support/work_of_force.h"

using namespace limbwright;
using namespace limbwright::checks;

namespace
{
// Glass, core, glass on soft glue lines, a stretching string: everything that can store energy. Moduli are round numbers.
BowDescription layered_bow()
{
  constexpr double root = 0.12, tip = 0.85;
  BowDescription bow;
  LimbDescription &limb = bow.upper;
  limb.root_station = root;
  limb.tip_station = tip;
  limb.root_back_x = 0.02;
  limb.root_back_y = root;
  limb.profile.lean = {{root, 0.5, tip}, {0.02, 0.05, 0.25}};
  limb.width = {{root, 0.5, tip}, {0.038, 0.032, 0.012}};
  limb.laminations = {full_lamination("glass", 1e-3, root, tip), full_lamination("core", 8e-3, root, tip),
                      full_lamination("glass", 1e-3, root, tip)};
  limb.laminations[1].thickness = {{root, tip}, {9e-3, 5e-3}};
  limb.glue = {{"soft", 0.2e-3, 0.}, {"soft", 0.2e-3, 0.}};
  limb.nock = {tip - 0.015, 0.5};
  Material core, glass;
  core.constants = {12e9, 1.2e9, 0.8e9, 0.9e9, 0.7e9, 0.1e9, 0.35, 0.4, 0.6};
  glass.constants = {42e9, 10e9, 10e9, 4e9, 4e9, 3.5e9, 0.26, 0.26, 0.4};
  bow.materials = {{"core", core}, {"glass", glass}};
  Adhesive soft;
  soft.youngs_modulus = 30e6;
  soft.shear_modulus = 10e6;
  bow.adhesives = {{"soft", soft}};
  bow.string.stiffness = 20e3;
  bow.brace_height = 0.16;
  bow.full_draw = 0.66;
  return bow;
}
} // namespace

TEST_CASE("The work of the draw is stored in limbs, glue and string", "[verification]")
{
  const BowDescription bow = layered_bow();
  const LimbMesh<2> mesh(LimbShape(bow.upper), even_mesh(bow.upper, 40, 1));
  SolveSettings settings;
  settings.draw_steps = 16;
  BowPath path(mesh, bow, settings);
  const DrawPath drawn = path.run({}, nullptr);
  INFO(drawn.failed_stage << ": " << drawn.reason);
  REQUIRE(drawn.complete);
  REQUIRE(drawn.steps.size() == 18);

  const PathStep &braced = drawn.steps[1], &full = drawn.steps.back();
  const auto stored = [&](const PathStep &step) { return path.solid().energy(step.state.q[0]); };
  const double laminations = 2. * (stored(full).laminations - stored(braced).laminations),
               glue = 2. * (stored(full).glue - stored(braced).glue);
  const auto in_string = [&](const PathStep &step)
  { return step.point.tension * step.point.tension / (2. * bow.string.stiffness) * 2. * drawn.slack_length; };
  const double string = in_string(full) - in_string(braced);

  std::vector<DrawPoint> points;
  for (std::size_t i = 1; i < drawn.steps.size(); ++i)
    points.push_back(drawn.steps[i].point);
  const double work = work_of_force(points);

  CheckTable table("Energy of a drawn bow of glass and core on soft glue, with a stretching string",
                   "work of the force over the draw");
  table.note("growth in the laminations [J]", laminations);
  table.note("growth in the glue [J]", glue);
  table.note("growth in the string [J]", string);
  table.at_least("part of the glue [1], so that its loss would show", glue / work, 1e-3);
  table.at_least("part of the string [1], so that its loss would show", std::abs(string) / work, 1e-3);
  table.relative("growth of the stored energy [J], against that work", laminations + glue + string, work, 1e-4);
  table.relative("work as told [J]", full.point.work, work, 1e-4);
  table.relative("growth of the stored energy as told [J]", full.point.strain_energy - braced.point.strain_energy, work, 1e-4);
}
