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

TEST_CASE("Wood that was kept elastic has no event of yielding", "[quick]")
{
  const BowDescription bow = wooden_bow();
  const auto yielding = events_of_draw(bow, drawn(), {}, true);
  REQUIRE(yielding.size() == 1);
  CHECK(yielding[0].kind == Event::Kind::first_yield);
  CHECK(yielding[0].draw > 0.15);
  CHECK(yielding[0].draw < 0.65);
  CHECK(events_of_draw(bow, drawn(), {}, false).empty());
}
