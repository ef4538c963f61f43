#include "solver/stages/flaw_cost.h"

#include <catch2/catch.hpp>

#include <cmath>

using namespace limbwright;

namespace
{
Event event(Event::Kind kind, double draw, bool braced = false)
{
  Event result;
  result.kind = kind;
  result.draw = draw;
  result.braced = braced;
  return result;
}

// One limb, 1 m long and 10 mm thick, that bends by 1/m, and by `more` times that between 0.49 and 0.51 m.
DrawResults bent(double more)
{
  DrawResults results;
  results.complete = true;
  results.brace_height = 0.15;
  results.draw_length = 0.7;
  results.draw_weight = 200. / more;
  LimbSnapshot limb;
  for (int i = 0; i <= 1000; ++i)
  {
    SectionState section;
    section.station = 1e-3 * i;
    section.stack = 10e-3;
    section.curvature_change = i > 490 && i < 510 ? more : 1.;
    limb.sections.push_back(section);
  }
  Flaw flaw;
  flaw.from = 0.495;
  flaw.to = 0.505;
  flaw.beside = 10e-3;
  HotSpot spot;
  spot.index = 0.5 * more;
  limb.flaws = {{flaw, {spot}}};
  Snapshot snapshot;
  snapshot.limbs = {limb};
  results.snapshots = {snapshot};
  return results;
}
} // namespace

TEST_CASE("What a flaw costs is the bow with it beside the bow without", "[quick]")
{
  const DrawResults with = bent(1.5), without = bent(1.);
  const FlawCost cost = cost_of_flaws(with, BowBeside::sound, without);
  REQUIRE(cost.complete);
  CHECK(cost.weight_with == Approx(200. / 1.5));
  CHECK(cost.weight_without == Approx(200.));
  REQUIRE(cost.flaws.size() == 1);
  CHECK(cost.flaws[0].with[0].index == Approx(0.75));
  CHECK(cost.flaws[0].without[0].index == Approx(0.5));
  CHECK(cost.flaws[0].bend_ratio == Approx(1.5)); // the bend of a length as long as the limb is thick
  CHECK(std::abs(cost.flaws[0].bend_station - 0.5) < 5.1e-3);

  DrawResults failed = without;
  failed.complete = false;
  failed.failed_stage = "stringing";
  const FlawCost none = cost_of_flaws(with, BowBeside::sound, failed);
  CHECK_FALSE(none.complete);
  CHECK(none.reason.find("stringing") == 0);
}

TEST_CASE("Events that a flaw brings, brings sooner, or leaves as they were", "[quick]")
{
  DrawResults with;
  with.draw_length = 0.7;
  with.events = {event(Event::Kind::first_yield, 0.15, true), event(Event::Kind::yielded_tenth, 0.40),
                 event(Event::Kind::yielded_quarter, 0.50), event(Event::Kind::belly_crushes, 0.60)};
  FlawCost cost;
  cost.events = {event(Event::Kind::first_yield, 0.20), event(Event::Kind::yielded_tenth, 0.403),
                 event(Event::Kind::yielded_quarter, 0.55), event(Event::Kind::tension_break, 0.65)};
  const auto differences = event_differences(with, cost);
  REQUIRE(differences.size() == 4);
  CHECK(differences[0].with->kind == Event::Kind::first_yield); // braced already
  CHECK(differences[0].without->draw == 0.20);
  CHECK(differences[1].with->kind == Event::Kind::yielded_quarter);
  CHECK(differences[2].with->kind == Event::Kind::belly_crushes);
  CHECK_FALSE(differences[2].without);
  CHECK_FALSE(differences[3].with);
  CHECK(differences[3].without->kind == Event::Kind::tension_break);
}

TEST_CASE("The bow beside follows the described one as far as that was drawn", "[quick]")
{
  DrawResults described = bent(1.);
  described.snapshots.assign(7, described.snapshots.front());
  for (int i = 0; i < 7; ++i)
    described.snapshots[static_cast<std::size_t>(i)].point.draw = 0.15 + 0.1 * (i - 1); // unstrung, braced, five steps
  BowDescription sound;
  sound.full_draw = 0.8;
  SolveSettings settings;
  follow_draw(described, sound, settings);
  CHECK(settings.draw_steps == 5);
  CHECK(sound.full_draw == 0.8);
  CHECK(settings.cycles == 2);
  described.complete = false;
  follow_draw(described, sound, settings);
  CHECK(sound.full_draw == 0.7);
  CHECK(settings.cycles == 0);
}
