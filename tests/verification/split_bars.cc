// Bars with splits along their grain, splinters and wraps.

#include "meshing/shape/mending.h"
#include "solver/failure/energy_release.h"
#include "support/check_table.h"
#include "support/split_bar.h"

#include <cmath>

using namespace limbwright;
using namespace limbwright::checks;

namespace
{
constexpr double E = SplitBar::E, length = SplitBar::length, width = SplitBar::width, thickness = SplitBar::thickness;

Material stiff_in_shear()
{
  return elastic_material(E, 1e3 * E);
}

// [m] of the tip toward the belly, under an even pressure on the back.
double mean_of_tip(const Body &body, const State &state)
{
  const Eigen::VectorXd u = body.solid.space().expand(state.q[0]);
  double sum = 0.;
  for (const auto &[node, share] : body.solid.section_shares(length))
    sum -= share * u[2 * node];
  return sum;
}

// [m] of the tip under a moment, and the state.
std::pair<double, State> bent(Body &body, double moment, int n_steps = 1)
{
  Equilibrium equilibrium({&body.solid}, {});
  const SectionMoment load(body.solid, length);
  const State state = raise_load(equilibrium, load.moment(moment), n_steps);
  return {mean_of_tip(body, state), state};
}
} // namespace

TEST_CASE("A split that holds as whole wood changes nothing", "[verification]")
{
  Split split = split_at(0.15, 0.22, 4e-3);
  split.slope = 0.02;
  split.patch.strength = 1.;
  const Material wood = elastic_material(E, 0.8e9, 0.3);
  const LimbDescription with = divided(SplitBar::whole(), {split});
  Body holds(with, MeshSettings{}, {{"elastic", wood}}), same(sound(with), MeshSettings{}, {{"elastic", wood}});
  Body whole(SplitBar::whole(), MeshSettings{}, {{"elastic", wood}});
  const double moved = bent(holds, 2.).first;
  CheckTable table("Tip of a bar under a moment", "the same bar without the split");
  table.relative("on the same mesh [m]", moved, bent(same, 2.).first, 1e-10);
  // Of another mesh, and of the bond's own give, some 1e-4 of what the wood gives through its thickness.
  table.relative("in one piece [m]", moved, bent(whole, 2.).first, 2e-6);
}

namespace
{
// [m] that a split bar's tips move, back piece and belly piece, pulled apart by a force on the outer faces of the last column.
// Each piece is held by itself at the root.
constexpr int n_columns = 160;
constexpr double column = length / n_columns;

std::pair<double, double> pulled_apart(const LimbDescription &limb, double force)
{
  Body body(limb, even_mesh(limb, n_columns, 2), {{"elastic", stiff_in_shear()}}, {}, PlaneState::stress,
            Supports{{{0., true, true}}, {}});
  Equilibrium equilibrium({&body.solid}, {});
  const auto pull = [&](double sign)
  { return [=](double s) { return Eigen::Vector2d(s > length - column ? sign * force / (width * column) : 0., 0.); }; };
  const State state = raise_load(
      equilibrium, sum_of({face_traction(body.solid, true, pull(1.)), face_traction(body.solid, false, pull(-1.))}), 1);
  const Eigen::VectorXd u = body.solid.space().expand(state.q[0]);
  double back = 0., belly = 0.;
  for (std::size_t i = 0; i < body.solid.nodes().size(); ++i)
  {
    back = std::max(back, u[2 * static_cast<Eigen::Index>(i)]);
    belly = std::max(belly, -u[2 * static_cast<Eigen::Index>(i)]);
  }
  return {back, belly};
}
} // namespace

TEST_CASE("A lamination split from end to end is two beams, and wraps hold them together as an elastic bed", "[verification]")
{
  constexpr double force = 0.5, arm = length - 0.5 * column; // the pull's middle
  CheckTable table("A bar split from end to end, its tips pulled apart by half a newton",
                   "cantilevers; on an elastic bed: Hetenyi 1946, Beams on Elastic Foundation, end load, far end fixed");
  const auto I = [](double h) { return width * h * h * h / 12.; };
  const auto cantilever = [&](double h) { return force * arm * arm * (3. * length - arm) / (6. * E * I(h)); };
  const auto [back, belly] = pulled_apart(divided(SplitBar::whole(), {split_at(0., length, 0.4 * thickness)}), force);
  table.relative("two fifths of the depth, loose [m]", back, cantilever(0.4 * thickness), 5e-3);
  table.relative("the three fifths under them [m]", belly, cantilever(0.6 * thickness), 5e-3);

  // Of like halves the wrap is stretched by twice what either moves.
  constexpr double modulus = 9e6, section = 5e-6;
  LimbDescription halves = divided(SplitBar::whole(), {split_at(0., length, 0.5 * thickness)});
  halves.wraps = {{0., length, section, modulus}};
  const double both_legs = 2. * modulus * section * 2. / (2. * (width + thickness)); // [N/m per m]
  const double bed = 2. * both_legs, EI = E * I(0.5 * thickness), b = std::pow(bed / (4. * EI), 0.25), x = b * length;
  REQUIRE(x < 2.); // beyond it the halves would press on each other somewhere
  const double hetenyi = 2. * force * b / bed * (std::sinh(x) * std::cosh(x) - std::sin(x) * std::cos(x)) /
                         (std::pow(std::cosh(x), 2) + std::pow(std::cos(x), 2));
  // The pull lies half a column before the tip, some 0.6 % less than at it.
  table.relative("halves, wrapped [m]", pulled_apart(halves, force).first, hetenyi, 1e-2);
  table.note("root of the bed's stiffness times length [1]", x);
}

TEST_CASE("A splinter's root releases what the beam under it says, and a wrap over its point holds it down", "[verification]")
{
  constexpr double moment = 4., root = 0.16, point = 0.24, depth = 2.5e-3;
  Split split = split_at(root, point, depth);
  split.comes_out = SplitExit::back;
  const Material wood = elastic_material(E, 0.5 * E);
  const auto run = [&](LimbDescription limb)
  {
    Body body(limb, MeshSettings{}, {{"elastic", wood}});
    const State state = bent(body, moment, 20).second; // the back pulled
    const Eigen::VectorXd u = body.solid.space().expand(state.q[0]);
    double lift = 0.;
    for (const auto &element : body.solid.glue())
      if (element.open)
        for (const auto &apart : body.solid.separations(element, u))
          lift = std::max(lift, apart[0]);
    const auto edges = energy_release(body.solid, u);
    REQUIRE(edges.size() == 1);
    CHECK(edges[0].station == Approx(root));
    return std::pair(edges[0], lift);
  };
  LimbDescription limb = divided(SplitBar::whole(), {split});
  limb.glue[0].patches[0].gap = 0.05e-3;
  const auto [open, lift] = run(limb);
  CheckTable table("A splinter a quarter of the depth, the bar bent so that its back is pulled",
                   "energy of slender beams: M^2 / (2 b E) (1/I of what is left - 1/I of the whole)");
  const auto I = [](double h) { return width * h * h * h / 12.; };
  table.relative("energy release at its root [J/m2]", open.total(),
                 moment * moment / (2. * width * E) * (1. / I(thickness - depth) - 1. / I(thickness)), 5e-2); // its root gives
  // Four layers of linen thread over the last inch.
  limb.wraps = {{point - 25e-3, point + 5e-3, 1e-3, 9e9, 2e3, 80e6}};
  const auto [wrapped, held] = run(limb);
  table.note("its point stands off [mm]", 1e3 * lift);
  table.at_least("share of it that opens [1]", open.opening / open.total(), 0.3);
  table.at_most("wrapped, its point stands off, over open [1]", held / lift, 0.2);
  table.at_most("wrapped, opening part over open [1]", wrapped.opening / open.opening, 0.7);
  table.at_most("wrapped, energy release over open [1]", wrapped.total() / open.total(), 1.);
}
