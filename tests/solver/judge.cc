#include "solver/failure/snapshot.h"

#include "support/bodies.h"
#include "support/check_table.h"

using namespace limbwright;
using namespace limbwright::checks;

namespace
{
// Two laminations of one wood, 10 mm together, without Poisson's effect: stress along = E strain along. Strengths are round
// numbers.
constexpr double length = 0.3, half = 5e-3, E = 10e9, G = 1e9, k = 1e13;

Material wood()
{
  Material material = elastic_material(E, G);
  material.kind = MaterialKind::wood;
  material.strengths = {100e6, 50e6, 4e6, 8e6, 4e6, 8e6, 10e6, 10e6, 3e6};
  return material;
}

LimbDescription two_laminations()
{
  LimbDescription bar = straight_bar(length, 2. * half, 0.02);
  bar.laminations.assign(2, full_lamination("elastic", half, 0., length));
  bar.glue.assign(1, {"", 0., k});
  return bar;
}

struct JudgedBar
{
  LimbDescription limb = two_laminations();
  std::map<std::string, Material> materials{{"elastic", wood()}};
  std::map<std::string, Adhesive> adhesives{};
  Body body{limb, even_mesh(limb, 60, 1), materials};
  LimbJudge judge{body.solid, materials, adhesives, 1e-9};

  template <typename Field>
  LimbJudge::Verdict of(const Field &field)
  {
    Eigen::VectorXd u(2 * body.solid.nodes().size());
    for (std::size_t n = 0; n < body.solid.nodes().size(); ++n)
    {
      const auto &node = body.solid.nodes()[n];
      u.segment<2>(2 * n) = field(node.place[0], node.place[1], node.lamination);
    }
    return judge.judge(LimbName::upper, u);
  }
};

const HotSpot *find(const LimbJudge::Verdict &verdict, FailureMode mode, int lamination, int glue_line = -1)
{
  for (const HotSpot &spot : verdict.worst)
    if (spot.mode == mode && spot.lamination == lamination && spot.glue_line == glue_line)
      return &spot;
  return nullptr;
}

double index(const LimbJudge::Verdict &verdict, FailureMode mode, int lamination, int glue_line = -1)
{
  const HotSpot *spot = find(verdict, mode, lamination, glue_line);
  return spot == nullptr ? 0. : spot->index;
}
} // namespace

TEST_CASE("A bent bar is judged by its strengths along the grain and by the belly indices", "[quick]")
{
  // Strain along kappa x, tension at the back. Small, and the indices scale with it: an index is strain E / strength.
  constexpr double kappa = 1e-6, strain = kappa * half;
  JudgedBar bar;
  const auto verdict = bar.of([&](double x, double y, int) { return Eigen::Vector2d(-0.5 * kappa * y * y, kappa * x * y); });
  CheckTable table("A bar bent to a known strain", "hand: stress over strength; belly (r^2+1)/2 with r = 100/50");
  table.relative("tension, back lamination [1]", index(verdict, FailureMode::tension_along, 1), E * strain / 100e6, 1e-4);
  table.relative("compression, belly lamination [1]", index(verdict, FailureMode::compression_along, 0), E * strain / 50e6, 1e-4);
  table.relative("set, belly lamination [1]", index(verdict, FailureMode::belly_set, 0), E * strain / 50e6, 1e-4);
  table.relative("crushing, belly lamination [1]", index(verdict, FailureMode::belly_crushing, 0), E * strain / 50e6 / 2.5, 1e-4);
  const HotSpot *spot = find(verdict, FailureMode::tension_along, 1);
  REQUIRE(spot != nullptr);
  CHECK(spot->face == Face::back);
  table.relative("its stress [Pa]", spot->value, E * strain, 1e-4);
  table.relative("its strength [Pa]", spot->limit, 100e6, 1e-12);
  const HotSpot *belly = find(verdict, FailureMode::belly_crushing, 0);
  REQUIRE(belly != nullptr);
  CHECK(belly->face == Face::belly);
  const SectionState &section = verdict.snapshot.sections[30];
  // Tension at the back: the limb bends toward the archer.
  table.relative("change of curvature [1/m]", section.curvature_change, kappa, 1e-4);
  table.relative("fit at the belly [1]", section.fit_belly_strain, -strain, 1e-4);
  table.relative("fit at the back [1]", section.fit_back_strain, strain, 1e-4);
}

TEST_CASE("Near an end stress across and shear are the section's, elsewhere the elements'", "[quick]")
{
  // Everywhere some shear and opening across; in the element at the root, half as long as the stack is thick, a hundred times as
  // much opening.
  constexpr double gamma = 1e-5, across = 2e-6, reach = 4e-3;
  JudgedBar bar;
  const auto field = [&](bool with_peak)
  {
    return [=](double x, double y, int) { return Eigen::Vector2d((with_peak && y < reach ? 100. : 1.) * across * x, gamma * x); };
  };
  const auto plain = bar.of(field(false)), peaked = bar.of(field(true));
  CheckTable table("Shear, and opening with a peak at the root",
                   "hand: stress over strength; at an end a rectangle's greatest shear is 1.5 times the mean (Jourawski)");
  for (const auto *verdict : {&plain, &peaked})
  {
    const std::string which = verdict == &plain ? ", even [1]" : ", peak at the root [1]";
    table.relative("shear" + which, index(*verdict, FailureMode::shear, 0), 1.5 * G * gamma / 10e6, 1e-3);
    table.relative("across" + which, index(*verdict, FailureMode::across_tension, 0), E * across / 4e6, 1e-3);
  }
  // The peak stays in the recovered field.
  double largest = 0.;
  for (const Eigen::Vector3d &stress : peaked.fields.stress)
    largest = std::max(largest, stress[1]);
  table.at_least("recovered opening at the root over the even one [1]", largest / (E * across), 50.);
  // A hundredfold peak in mid-limb is judged.
  const auto inside = bar.of(
      [=](double x, double y, int)
      {
        const double factor = std::abs(y - length / 2.) < reach ? 100. : 1.;
        return Eigen::Vector2d(0., factor * gamma * x);
      });
  table.at_least("shear with the peak at mid-limb [1]", index(inside, FailureMode::shear, 0), 50. * G * gamma / 10e6);
}

TEST_CASE("Glue is judged by the weaker of glue and wood, away from the handle and the nock", "[quick]")
{
  // Back lamination moved as a whole: opening 1e-7 m, slip 2e-7 m; in the element at the handle ten times that.
  JudgedBar bar;
  const auto verdict = bar.of(
      [](double, double y, int lamination)
      {
        const double factor = lamination == 0 ? 0. : y < 4e-3 ? 10. : 1.;
        return Eigen::Vector2d(factor * 1e-7, factor * 2e-7);
      });
  CheckTable table("A bond that opens and slips", "hand: no glue layer, so the wood's 4 MPa across and 10 MPa in shear");
  const double peel = k * 1e-7 / 4e6, shear = k * 2e-7 / 10e6;
  table.relative("shear [1]", index(verdict, FailureMode::glue_shear, -1, 0), shear, 1e-4);
  table.relative("peel [1]", index(verdict, FailureMode::glue_peel, -1, 0), peel, 1e-4);
  table.relative("both [1]", index(verdict, FailureMode::glue_mixed, -1, 0), std::hypot(peel, shear), 1e-4);

  const auto pressed = bar.of([](double, double, int lamination) { return Eigen::Vector2d(lamination == 0 ? 0. : -1e-7, 0.); });
  CHECK(find(pressed, FailureMode::glue_peel, -1, 0) == nullptr);
  CHECK(find(pressed, FailureMode::glue_mixed, -1, 0) == nullptr);
}

TEST_CASE("A starved patch is judged by the strength that it has, an open one not at all", "[quick]")
{
  const auto shear_index = [](double strength, double width_share)
  {
    LimbDescription limb = two_laminations();
    GluePatch patch;
    patch.from = 0.1;
    patch.to = 0.2;
    patch.strength = strength;
    patch.width_share = width_share;
    limb.glue[0].patches = {patch};
    JudgedBar bar{limb};
    // The same slip everywhere.
    const auto verdict = bar.of([](double, double, int lamination) { return Eigen::Vector2d(0., lamination == 0 ? 0. : 2e-7); });
    const HotSpot *spot = find(verdict, FailureMode::glue_shear, -1, 0);
    REQUIRE(spot != nullptr);
    CHECK((spot->station > 0.1 && spot->station < 0.2) == (strength > 0. || width_share < 1.));
    return spot->index;
  };
  const double sound = k * 2e-7 / 10e6;
  CHECK(shear_index(0.4, 1.) == Approx(sound / 0.4).epsilon(1e-4));
  CHECK(shear_index(0.4, 0.5) == Approx(sound / 0.7).epsilon(1e-4));
  CHECK(shear_index(0., 0.5) == Approx(sound / 0.5).epsilon(1e-4));
  CHECK(shear_index(0., 1.) == Approx(sound).epsilon(1e-4));
}
