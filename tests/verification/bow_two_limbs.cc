#include "support/check_table.h"
#include "support/elastica_bow.h"
#include "support/work_of_force.h"

using namespace limbwright;
using namespace limbwright::checks;

namespace
{
DrawPath draw(const BowDescription &bow, const LimbMesh<2> &upper, const LimbMesh<2> &lower)
{
  BowPath path(std::vector<const LimbMesh<2> *>{&upper, &lower}, bow, DrawnBow::settings(4));
  return path.run({}, nullptr);
}

// The tapered bow, its lower limb cut short by 64 mm: as stiff at the root, so stiffer as a whole.
BowDescription unlike_limbs()
{
  BowDescription bow = describe(straight_tapered());
  bow.lower = bow.upper;
  bow.lower->tip_station -= 0.064;
  bow.lower->laminations.front().end = bow.lower->tip_station;
  bow.lower->nock.station = bow.lower->tip_station;
  return bow;
}

LimbMesh<2> mesh_of(const LimbDescription &limb)
{
  return LimbMesh<2>(LimbShape(limb), even_mesh(limb, 60, 2));
}
} // namespace

TEST_CASE("A symmetric bow solved as two limbs is the half model", "[verification]")
{
  BowDescription bow = describe(straight_tapered());
  const LimbMesh<2> mesh = mesh_of(bow.upper);
  BowPath half(mesh, bow, DrawnBow::settings(4));
  const DrawPath one = half.run({}, nullptr);
  REQUIRE(one.complete);
  bow.lower = bow.upper;
  for (const bool rocks : {false, true})
  {
    bow.hold.free_handle = rocks;
    const DrawPath two = draw(bow, mesh, mesh);
    REQUIRE(two.complete);
    CheckTable table(std::string("Symmetric bow as two limbs, handle ") + (rocks ? "rocking" : "fixed"),
                     "the half model of this program; an identity");
    table.relative("draw weight [N]", two.steps.back().point.force, one.steps.back().point.force, 1e-6);
    table.relative("rise at full draw [N/m]", two.steps.back().point.stiffness, one.steps.back().point.stiffness, 1e-6);
    table.relative("brace tension [N]", two.steps[1].point.tension, one.steps[1].point.tension, 1e-6);
    table.relative("lower half's tension at full draw [N]", two.steps.back().point.tension_lower, one.steps.back().point.tension,
                   1e-6);
    table.relative("work [J]", two.steps.back().point.work, one.steps.back().point.work, 1e-6);
    table.absolute("height of the nocking point [m]", two.steps.back().point.nocking_height, 0., 1e-7);
    table.absolute("turn of the handle [rad]", two.steps.back().point.handle_turn, 0., 1e-6);
  }
}

TEST_CASE("Mirrored limbs mirror the results", "[verification]")
{
  BowDescription bow = unlike_limbs();
  const LimbMesh<2> longer = mesh_of(bow.upper), shorter = mesh_of(*bow.lower);
  BowDescription mirrored = bow;
  std::swap(mirrored.upper, *mirrored.lower);
  for (const bool rocks : {false, true})
  {
    bow.hold = {0.03, true, rocks, 0.01};
    mirrored.hold = {-0.03, true, rocks, -0.01};
    const DrawPath a = draw(bow, longer, shorter), b = draw(mirrored, shorter, longer);
    REQUIRE(a.complete);
    REQUIRE(b.complete);
    CheckTable table(std::string("Unlike limbs and their mirror image, handle ") + (rocks ? "rocking" : "fixed"), "an identity");
    for (std::size_t i = 1; i < a.steps.size(); ++i)
    {
      const DrawPoint &p = a.steps[i].point, &q = b.steps[i].point;
      table.absolute("force [N]", p.force, q.force, 1e-5);
      table.relative("tension, upper against lower [N]", p.tension, q.tension_lower, 1e-7);
      table.absolute("height of the nocking point [m]", p.nocking_height, -q.nocking_height, 1e-8);
      table.absolute("turn of the handle [rad]", p.handle_turn, -q.handle_turn, 1e-7);
    }
  }
}

TEST_CASE("The whole unlike bow is in equilibrium at full draw", "[verification]")
{
  BowDescription bow = unlike_limbs();
  bow.hold = {0.03, true, true, 0.};
  const LimbMesh<2> upper = mesh_of(bow.upper), lower = mesh_of(*bow.lower);
  BowPath path(std::vector<const LimbMesh<2> *>{&upper, &lower}, bow, DrawnBow::settings(4));
  const DrawPath drawn = path.run({}, nullptr);
  REQUIRE(drawn.complete);
  const PathStep &full = drawn.steps.back();

  // In the handle's frame: the string's pull on each tip, which the handle must bear. The lower limb's frame has y turned round.
  Eigen::Vector2d on_tips = Eigen::Vector2d::Zero();
  double moment_of_tips = 0.;
  for (std::size_t k = 0; k < 2; ++k)
  {
    const double side = k == 0 ? 1. : -1.;
    const auto string = path.string().path(full.state, full.point.draw, k);
    Eigen::Vector2d pull = -path.string().tension(full.state, k) * string.directions.back().head<2>();
    Eigen::Vector2d tip = string.tip.head<2>();
    pull.y() *= side;
    tip.y() *= side;
    on_tips += pull;
    moment_of_tips += tip.x() * pull.y() - tip.y() * pull.x();
  }
  const double turn = full.point.handle_turn;
  const Eigen::Vector2d shot(std::cos(turn), -std::sin(turn)); // the x axis of space, seen from the handle
  CheckTable table("Equilibrium of a bow of unlike limbs with a rocking handle", "statics");
  table.relative("string on the tips along the shot [N]", -on_tips.dot(shot), full.point.force, 1e-7);
  table.absolute("string on the tips across the shot [N]", on_tips.dot(Eigen::Vector2d(-shot.y(), shot.x())), 0., 1e-5);
  table.absolute("moment of the string about the hand [N m]", moment_of_tips, 0., 1e-5);
  // The work is interpolated from the braced bow, which swings level with the hand at no force.
  table.relative("work [J] against growth of the stored energy", work_of_force(drawn),
                 full.point.strain_energy - drawn.steps[1].point.strain_energy, 1e-3);
}

TEST_CASE("A nocking point that is kept at its height pushes on the fingers, a free one does not", "[verification]")
{
  BowDescription bow = unlike_limbs();
  const LimbMesh<2> upper = mesh_of(bow.upper), lower = mesh_of(*bow.lower);
  const auto force_along_fingers = [&](bool free_height)
  {
    bow.hold = {0.03, free_height, false, 0.};
    BowPath path(std::vector<const LimbMesh<2> *>{&upper, &lower}, bow, DrawnBow::settings(4));
    const DrawPath drawn = path.run({}, nullptr);
    REQUIRE(drawn.complete);
    const PathStep &full = drawn.steps.back();
    double sum = 0.;
    for (std::size_t k = 0; k < 2; ++k)
      sum += (k == 0 ? 1. : -1.) * path.string().tension(full.state, k) *
             path.string().path(full.state, full.point.draw, k).directions.front().y();
    return sum;
  };
  CheckTable table("Force along the fingers at full draw", "statics");
  table.absolute("free [N]", force_along_fingers(true), 0., 1e-5);
  table.at_least("kept [N]", std::abs(force_along_fingers(false)), 1.);
}

TEST_CASE("Where a rocking handle and a kept nocking point go together, the pull goes through the hand", "[verification]")
{
  BowDescription bow = unlike_limbs();
  bow.hold = {0.03, false, true, 0.};
  const LimbMesh<2> upper = mesh_of(bow.upper), lower = mesh_of(*bow.lower);
  BowPath path(std::vector<const LimbMesh<2> *>{&upper, &lower}, bow, DrawnBow::settings(4));
  const DrawPath drawn = path.run({}, nullptr);
  REQUIRE(drawn.complete);
  const PathStep &full = drawn.steps.back();
  // In space, seen from the pivot: the sum of the tensions where the fingers hold.
  Eigen::Vector2d pull = Eigen::Vector2d::Zero();
  const double turn = full.point.handle_turn;
  for (std::size_t k = 0; k < 2; ++k)
  {
    Eigen::Vector2d e =
        path.string().tension(full.state, k) * path.string().path(full.state, full.point.draw, k).directions.front().head<2>();
    e.y() *= k == 0 ? 1. : -1.;
    pull += Eigen::Vector2d(std::cos(turn) * e.x() - std::sin(turn) * e.y(), std::sin(turn) * e.x() + std::cos(turn) * e.y());
  }
  CheckTable table("Rocking handle, nocking point kept 30 mm over the hand", "statics: two forces in equilibrium have one line");
  table.absolute("height of the nocking point [m]", full.point.nocking_height, 0.03, 1e-10);
  table.absolute("turn of the braced bow [rad]", drawn.steps[1].point.handle_turn, 0., 1e-10);
  table.relative("slope of the pull [1]", -pull.y() / pull.x(), 0.03 / full.point.draw, 1e-6);
  table.relative("work [J] against growth of the stored energy", work_of_force(drawn),
                 full.point.strain_energy - drawn.steps[1].point.strain_energy, 1e-3);
}
