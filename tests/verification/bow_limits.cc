#include "solver/stages/draw_curve.h"
#include "support/check_table.h"
#include "support/elastica_bow.h"

#include <atomic>
#include <cmath>
#include <vector>

using namespace limbwright;
using namespace limbwright::checks;

TEST_CASE("The draw curve between solved steps agrees with solutions there", "[verification]")
{
  const BowDescription description = describe(straight_tapered());
  const DrawnBow coarse(description, 60, 1, 4);
  CheckTable table("Draw curve read between four solved steps", "solutions at these draws");
  for (const double draw : {0.2, 0.25, 0.33, 0.45, 0.52, 0.6, 0.68})
  {
    BowDescription shorter = description;
    shorter.full_draw = draw;
    const DrawnBow solved(shorter, 60, 1, 3);
    const auto read = interpolate_draw_curve(coarse.drawn, {draw});
    REQUIRE(read.size() == 1);
    const DrawPoint &point = solved.full().point;
    const std::string at = " at " + std::to_string(draw).substr(0, 4) + " m";
    table.relative("force [N]" + at, read[0].force, point.force, 1e-3);
    table.relative("string tension [N]" + at, read[0].tension, point.tension, 1e-3);
    table.relative("stiffness [N/m]" + at, read[0].stiffness, point.stiffness, 1e-2);
    table.relative("tip toward the archer [m]" + at, read[0].tip_x, point.tip_x, 1e-3);
    table.relative("tip along the bow [m]" + at, read[0].tip_y, point.tip_y, 1e-3);
    table.relative("turn of the tip [rad]" + at, read[0].tip_angle, point.tip_angle, 1e-3);
    table.relative("string angle [rad]" + at, read[0].string_angle, point.string_angle, 1e-3);
    table.relative("work [J]" + at, read[0].work, point.work, 1e-3);
  }
}

TEST_CASE("The draw weight settles as the mesh is refined", "[verification]")
{
  const BowDescription description = describe(straight_tapered());
  std::vector<double> force, work;
  for (const int n : {1, 2, 4, 8})
  {
    const DrawnBow bow(description, 15 * n, n, 4);
    force.push_back(bow.full().point.force);
    work.push_back(bow.full().point.strain_energy - bow.braced().point.strain_energy);
  }
  // The clamped root carries shear, which makes its corners weakly singular: the order is printed, the change is what counts.
  CheckTable table("Draw weight by mesh: 15, 30, 60, 120 columns of 1, 2, 4, 8 elements", "the finest mesh");
  for (std::size_t i = 0; i + 1 < force.size(); ++i)
  {
    const double allowed = i == 0 ? 0.02 : i == 1 ? 2e-3 : 5e-4;
    table.relative("force at full draw [N], mesh " + std::to_string(i + 1), force[i], force.back(), allowed);
    table.relative("energy [J], mesh " + std::to_string(i + 1), work[i], work.back(), allowed);
  }
  table.note("order of the force, last three meshes [1]", std::log2(std::abs((force[1] - force[2]) / (force[2] - force[3]))));
  table.note("order of the energy, last three meshes [1]", std::log2(std::abs((work[1] - work[2]) / (work[2] - work[3]))));
}

namespace
{
DrawPath try_to_draw(const BowDescription &bow, const SolveSettings &settings, const std::atomic<bool> *stop = nullptr)
{
  const LimbMesh<2> mesh(LimbShape(bow.upper), even_mesh(bow.upper, 30, 1));
  BowPath path(mesh, bow, settings);
  return path.run({}, stop);
}
} // namespace

TEST_CASE("A draw beyond reach ends at the last good draw", "[verification]")
{
  // Limb and half string laid out straight reach 1.70 m; an elastic limb would not break there but stretch without end.
  const double reach = std::sqrt(std::pow(flexible + 0.893363, 2) - handle * handle);
  CheckTable table("Draws beyond reach", "geometry: limb and half string laid out straight; a solution at the last draw reached");
  const auto check = [&](const std::string &what, double draw, const SolveSettings &settings)
  {
    BowDescription bow = describe(straight_tapered());
    bow.full_draw = draw;
    const DrawPath path = try_to_draw(bow, settings);
    INFO(what << ": " << path.reason);
    CHECK_FALSE(path.complete);
    CHECK(path.failed_stage == "drawing");
    CHECK_FALSE(path.reason.empty());
    REQUIRE(path.steps.size() > 2);
    const DrawPoint &last = path.steps.back().point;
    table.at_least(what + ": last good draw [m]", last.draw, full_draw);
    table.at_most(what + ": last good draw [m]", last.draw, 1.02 * reach);
    table.at_most(what + ": factorisations", path.draw_iterations, 700.);
    // 626: steps whose work does not agree are cut too, and a fold is looked for down to a 4096th of the last of them.
    // What is told as reached is an equilibrium: it is found again by steps of its own.
    bow.full_draw = last.draw;
    const DrawPath again = try_to_draw(bow, {});
    REQUIRE(again.complete);
    table.relative(what + ": force there [N]", last.force, again.steps.back().point.force, 1e-6);
    table.relative(what + ": tip along the bow [m]", last.tip_y, again.steps.back().point.tip_y, 1e-6);
  };
  check("1.8 m", 1.8, {});
  SolveSettings few;
  few.max_iterations = 6;
  check("1000 m, at most 6 iterations a step", 1000., few);
}

TEST_CASE("A stage that cannot be solved is told, not thrown", "[verification]")
{
  SECTION("too few iterations")
  {
    SolveSettings settings;
    settings.max_iterations = 1;
    const DrawPath path = try_to_draw(describe(straight_tapered()), settings);
    CHECK_FALSE(path.complete);
    CHECK(path.failed_stage == "stringing");
    CHECK_FALSE(path.reason.empty());
    REQUIRE(path.steps.size() == 1);
    CHECK(path.steps[0].stage == "unstrung");
  }
  SECTION("nothing to string")
  {
    ElasticaBow leaning = straight_tapered();
    leaning.root_lean = -20. * pi / 180.;
    const DrawPath path = try_to_draw(describe(leaning), {});
    CHECK_FALSE(path.complete);
    CHECK(path.failed_stage == "stringing");
    CHECK_FALSE(path.reason.empty());
  }
  SECTION("interrupted")
  {
    const std::atomic<bool> stop = true;
    const DrawPath path = try_to_draw(describe(straight_tapered()), {}, &stop);
    CHECK_FALSE(path.complete);
    CHECK(path.steps.size() == 1);
    CHECK_FALSE(path.reason.empty());
  }
}
