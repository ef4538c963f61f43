#include "solver/failure/events.h"

#include "solver/failure/snapshot.h"
#include "support/bodies.h"
#include "support/solid_mesh.h"

using namespace limbwright;
using namespace limbwright::checks;

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

TEST_CASE("Glue that was stated open has not let go, over half of the width either", "[quick]")
{
  LimbDescription limb = straight_bar(0.2, 8.1e-3, 20e-3);
  limb.laminations.assign(2, full_lamination("elastic", 4e-3, 0., 0.2));
  limb.glue.assign(1, {"", 0.1e-3, 1e13});
  GluePatch patch;
  patch.from = 0.06;
  patch.to = 0.13;
  patch.width_share = 0.5;
  patch.across = 5e-3;
  limb.glue[0].patches = {patch};
  const std::map<std::string, Material> materials{{"elastic", elastic_material(10e9, 1e9)}};
  const std::map<std::string, Adhesive> adhesives{{"", {}}};
  SolidBody body(limb, solid_mesh(limb, 10, 1, 4, false), materials, adhesives);
  LimbJudgeOf<3> judge(body.solid, materials, adhesives, 1e-3);
  BowDescription bow;
  bow.upper = limb;
  bow.materials = materials;
  std::vector<Snapshot> snapshots(2);
  for (std::size_t i = 0; i < 2; ++i)
  {
    snapshots[i].stage = i == 0 ? "braced" : "full draw";
    snapshots[i].point.draw = i == 0 ? 0.15 : 0.65;
    snapshots[i].limbs = {
        judge.judge(LimbName::upper, Eigen::VectorXd::Zero(3 * static_cast<Eigen::Index>(body.solid.nodes().size()))).snapshot};
  }
  CHECK(std::any_of(snapshots[1].limbs[0].glue.begin(), snapshots[1].limbs[0].glue.end(),
                    [](const GlueState &glue) { return glue.parted == 1.; }));
  CHECK(events_of_draw(bow, snapshots, {}, {}).empty());

  // What lets go next to it has.
  const std::size_t middle = snapshots[1].limbs[0].glue.size() / 2;
  snapshots[1].limbs[0].glue[middle].let_go = 1.;
  const auto events = events_of_draw(bow, snapshots, {}, {});
  REQUIRE(events.size() == 1);
  CHECK(events[0].kind == Event::Kind::glue_parts);
  CHECK(events[0].station == snapshots[1].limbs[0].glue[middle].station);
}
