#include "solver/failure/events.h"

#include <catch2/catch.hpp>

using namespace limbwright;

namespace
{
// One limb of one wood, whose belly at full draw is strained to twice the strain of its crushing strength.
BowDescription wooden_bow()
{
  BowDescription bow;
  bow.upper.laminations.resize(1);
  bow.upper.laminations[0].material = "wood";
  Material wood;
  wood.constants.E_L = 12e9;
  wood.strengths.compression_L = 60e6;
  bow.materials = {{"wood", wood}};
  return bow;
}

std::vector<Snapshot> drawn()
{
  std::vector<Snapshot> snapshots(2);
  for (const double index : {0.4, 2.})
  {
    Snapshot &snapshot = snapshots[index < 1. ? 0 : 1];
    snapshot.stage = index < 1. ? "braced" : "full draw";
    snapshot.point.draw = index < 1. ? 0.15 : 0.65;
    HotSpot spot;
    spot.station = 0.3;
    spot.lamination = 0;
    spot.mode = FailureMode::belly_set;
    spot.index = index;
    snapshot.worst = {spot};
  }
  return snapshots;
}
} // namespace

// The same limb's sections between: the index is reached in a bend of the curve, not on the straight line.
SectionCurve sections()
{
  SectionCurve curve;
  curve.draws = {0.15, 0.4, 0.65};
  curve.yielded = {{0., 0.3}, {0.05, 0.3}, {0.2, 0.31}};
  curve.by_lamination[{0, FailureMode::belly_set}] = {{0.4, 0.3}, {1., 0.3}, {2., 0.3}};
  return curve;
}

TEST_CASE("Yielding is found along the sections' own curve, and not at all where the wood was kept elastic", "[quick]")
{
  const BowDescription bow = wooden_bow();
  const auto yielding = events_of_draw(bow, drawn(), {sections()}, {});
  REQUIRE(yielding.size() == 2);
  const auto law = crushing_law(bow.materials.at("wood"));
  REQUIRE(law);
  const double index = law->yield / law->strength; // the set index counts by the strength
  CHECK(yielding[0].kind == Event::Kind::first_yield);
  CHECK(yielding[0].draw == Approx(0.15 + 0.25 * (index - 0.4) / 0.6).epsilon(1e-4));
  CHECK(yielding[1].kind == Event::Kind::yielded_tenth);
  CHECK(yielding[1].draw == Approx(0.4 + 0.25 * 0.05 / 0.15));
  CHECK(yielding[1].station == 0.31);
  CHECK(events_of_draw(bow, drawn(), {}, {}).empty());
}
