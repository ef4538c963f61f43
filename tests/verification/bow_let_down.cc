#include "support/cases.h"
#include "support/check_table.h"
#include "support/work_of_force.h"

#include <algorithm>

using namespace limbwright;
using namespace limbwright::checks;

namespace
{
Case example(const std::string &name)
{
  return read(std::filesystem::path(LIMBWRIGHT_EXAMPLES) / name / (name + ".toml"));
}

double worst(const DrawResults &results, FailureMode mode)
{
  double index = 0.;
  for (const HotSpot &spot : results.worst)
    if (spot.mode == mode)
      index = std::max(index, spot.index);
  return index;
}

// [J] of the force on the first way down, at whose end the bow is braced again: to there a parabola through force and rise above.
double given_back(const DrawResults &results)
{
  std::vector<DrawPoint> points = {results.snapshots.back().point};
  for (const Snapshot &snapshot : results.let_down.snapshots)
    if (snapshot.stage == "letting down")
      points.push_back(snapshot.point);
  const DrawPoint &last = points.back();
  const double h = last.draw - results.let_down.cycles.front().brace_height;
  return h * (2. * last.force - 0.5 * last.stiffness * h) / 3. - work_of_force(points);
}
} // namespace

TEST_CASE("An elastic bow comes back whole, on two limbs as on one", "[verification]")
{
  for (const char *name : {"ash-hickory-board", "cherry-hickory-unlike"})
  {
    Case bow = example(name);
    bow.solve.wood_yields = false;
    bow.mesh.column_length = 15e-3;
    bow.mesh.row_height = 4e-3;
    const DrawResults results = run_to_the_end(bow);
    CheckTable table(bow.title + ", wood elastic", "none needed: what is elastic gives back what it took");
    REQUIRE(results.let_down.complete);
    REQUIRE(results.let_down.cycles.size() == 2);
    table.at_most("set, upper [mm]", std::abs(results.let_down.set_upper) * 1e3, 1e-3);
    table.at_most("set, lower [mm]", std::abs(results.let_down.set_lower) * 1e3, 1e-3);
    for (const DrawCycle &cycle : results.let_down.cycles)
    {
      table.relative("returned over work [1]", cycle.returned / cycle.work, 1., 1e-5);
      table.relative("draw weight over the first [1]", cycle.draw_weight / results.draw_weight, 1., 1e-6);
      table.relative("brace height [mm]", cycle.brace_height * 1e3, results.brace_height * 1e3, 1e-4);
      table.relative("brace tension [N]", cycle.brace_tension, results.brace_tension, 1e-4);
    }
  }
}

TEST_CASE("Energies of a draw do not hang on the number of its steps", "[verification]")
{
  const auto drawn_in = [](int steps)
  {
    Case bow = example("ash-hickory-board");
    bow.mesh.column_length = 15e-3;
    bow.mesh.row_height = 4e-3;
    bow.solve.cycles = 1;
    bow.solve.overdraw = false;
    bow.solve.draw_steps = steps;
    return run_to_the_end(bow);
  };
  const DrawResults few = drawn_in(4), many = drawn_in(16);
  CheckTable table("Board bow, wood that yields, drawn in four steps", "the same in sixteen");
  const DrawCycle &a = few.let_down.cycles.at(0), &b = many.let_down.cycles.at(0);
  table.relative("work [J]", a.work, b.work, 1e-3);
  table.relative("given back [J]", a.returned, b.returned, 1e-3);
  table.relative("kept [J]", a.lost(), b.lost(), 1e-2);
  table.relative("used up by crushing [J]", few.draw_curve.back().dissipated, many.draw_curve.back().dissipated, 1e-2);
  table.relative("stored [J]", few.draw_curve.back().strain_energy, many.draw_curve.back().strain_energy, 1e-3);
  // Told inch by inch between the steps, where wood begins to yield on the way.
  REQUIRE(few.draw_curve.size() == many.draw_curve.size());
  double apart = 0.;
  for (std::size_t i = 0; i < few.draw_curve.size(); ++i)
    apart = std::max(apart, std::abs(few.draw_curve[i].dissipated - many.draw_curve[i].dissipated));
  table.at_most("used up, farthest apart over that at full draw [1]", apart / many.draw_curve.back().dissipated, 0.03);
}

TEST_CASE("What a bow keeps of a draw went into crushing and into stress that stays", "[slow]")
{
  Case bow = example("ash-hickory-board");
  bow.solve.draw_steps = 12; // work is integrated over the steps: wood begins to yield in more and more places
  const DrawResults results = run_to_the_end(bow);
  CheckTable table(bow.title, "none needed: balance of energies");
  REQUIRE(results.let_down.complete);
  const DrawPoint &before = results.snapshots[1].point, &drawn = results.snapshots.back().point;
  table.relative("work of the draw [J]", work_of_force(results.draw_curve),
                 drawn.strain_energy + drawn.dissipated - before.strain_energy - before.dissipated, 1e-3);
  table.relative("kept by the first draw [J]", results.let_down.cycles.front().lost(),
                 work_of_force(results.draw_curve) - given_back(results), 2e-2);
  // Wood that has yielded once goes no further at the same strain.
  table.relative("draw weight of the second draw over the first [1]",
                 results.let_down.cycles.back().draw_weight / results.draw_weight, 1., 5e-3);
  table.at_most("kept of the second draw over the first's [1]",
                results.let_down.cycles.back().lost() / results.let_down.cycles.front().lost(), 0.05);
}

TEST_CASE("The soft belly crushes, the others take set and hold, wood under glass does neither", "[slow]")
{
  CheckTable table("Crushing index and set by bow", "the order is the trade's experience (common practice, no source): spruce "
                                                    "under linen crushes and follows the string most, the glass bow hardly");
  const auto run = [&](const std::string &name)
  {
    DrawResults results = run_to_the_end(example(name));
    REQUIRE(results.let_down.complete);
    table.note(name + ": crushing index [1]", worst(results, FailureMode::belly_crushing));
    table.note(name + ": set [mm]", results.let_down.set_upper * 1e3);
    return results;
  };
  const DrawResults spruce = run("spruce-linen-flatbow"), ash = run("ash-hickory-board"), heavy = run("hickory-heavy-flatbow"),
                    bamboo = run("bamboo-locust-reflex"), glass = run("maple-glass-thin");
  table.at_least("spruce: crushing index [1]", worst(spruce, FailureMode::belly_crushing), 1.);
  for (const DrawResults *held : {&ash, &heavy, &bamboo})
  {
    table.at_most("holds: crushing index [1]", worst(*held, FailureMode::belly_crushing), 0.7);
    table.at_most("holds: set over the spruce bow's [1]", held->let_down.set_upper / spruce.let_down.set_upper, 0.9);
    table.at_least("holds: set [mm]", held->let_down.set_upper * 1e3, 12.);
  }
  table.at_most("bamboo back: tension index [1]", worst(bamboo, FailureMode::tension_along), 1.);
  table.at_most("glass: set [mm]", glass.let_down.set_upper * 1e3, 5.);
  // Just before it crushes the spruce has yielded deepest at the handle.
  const auto first = std::find_if(spruce.events.begin(), spruce.events.end(),
                                  [](const Event &event) { return event.kind == Event::Kind::belly_crushes; });
  REQUIRE(first != spruce.events.end());
  table.at_most("spruce crushes this far from the handle's end [mm]",
                (first->station - spruce.snapshots.back().limbs.front().sections.front().station) * 1e3, 80.);
}
