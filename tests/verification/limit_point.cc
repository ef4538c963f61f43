#include "solver/stages/limit_point.h"
#include "support/bodies.h"
#include "support/check_table.h"

#include <algorithm>
#include <cmath>

using namespace limbwright;
using namespace limbwright::checks;

namespace
{
// A shallow arch, clamped at one end and pinned at the other, pressed in at its middle: it snaps through.
constexpr double length = 0.5, thickness = 4e-3, width = 20e-3, rise_angle = 0.16, modulus = 10e9;

struct Arch
{
  Body body;
  SectionForce middle, end;
  static LimbDescription describe()
  {
    LimbDescription arch = straight_bar(length, thickness, width);
    arch.profile.lean = {{0., length}, {rise_angle, -rise_angle}};
    return arch;
  }
  Arch()
      : body(describe(), even_mesh(describe(), 40, 1), {{"elastic", elastic_material(modulus, modulus / 2.)}}),
        middle(body.solid, body.solid.nearest_column(0.5 * length), thickness / 2.),
        end(body.solid, length, thickness / 2.)
  {
  }
  // The pinned end stays where it is: scalars 0 and 1.
  Loads pin() const
  {
    return [along = end.held({0., 1.}, 0), across = end.held({1., 0.}, 1)](const State &state, double, CoupledSystem &system)
    {
      along(state, 0., system);
      across(state, 0., system);
      system.constraint_rate.head(2).setZero();
    };
  }
};

PathPoint point(const Equilibrium &equilibrium, const State &state, double parameter)
{
  PathPoint result{state, parameter, {}};
  for (const LimbModel *solid : equilibrium.solids())
    result.history.push_back(solid->history());
  return result;
}
} // namespace

TEST_CASE("Arc length finds the load at which an arch snaps through", "[verification]")
{
  // The middle's displacement held, the force is read; its greatest value is the limit load.
  Arch held;
  Equilibrium held_equilibrium({&held.body.solid}, {});
  const Loads pressed = sum_of({held.pin(), held.middle.held({-1., 0.}, 2)});
  double most = 0., last = 0.;
  int n_unstable_before = 0, n_unstable_after = 0;
  State state = held_equilibrium.zero(3), before = state;
  for (int i = 1; i <= 85; ++i) // further on the middle would have to go back as well
  {
    State trial = state + (state - before);
    before = state;
    INFO("step " << i << ", " << last << " N after " << most << " N");
    REQUIRE(held_equilibrium.solve(trial, state, i * 0.25e-3, pressed).converged);
    state = trial;
    last = state.scalars[2];
    most = std::max(most, last);
  }
  REQUIRE(last < 0.9 * most); // it has snapped

  Arch free;
  Equilibrium equilibrium({&free.body.solid}, {});
  const Loads load = sum_of({free.pin(), free.middle.dead({-1., 0.})});
  State first = equilibrium.zero(2), second = first;
  REQUIRE(equilibrium.solve(first, first, 0.1 * most, load).converged);
  second = first;
  REQUIRE(equilibrium.solve(second, first, 0.2 * most, load).converged);
  n_unstable_before = equilibrium.n_unstable(second, 0.2 * most, load, 2);
  const LimitPoint found = seek_limit_point(equilibrium, point(equilibrium, first, 0.1 * most),
                                            point(equilibrium, second, 0.2 * most), 10. * most, load);
  INFO(found.reason);
  REQUIRE(found.end == LimitPoint::End::turned);
  CheckTable table("Shallow arch, clamped and pinned, pressed at its middle",
                   "the same arch with its middle's displacement held");
  table.relative("limit load [N]", found.parameter, most, 2e-3);
  table.note("last state before it, load [N]", found.last.parameter);
  CHECK(found.last.parameter < found.parameter * (1. + 1e-6));

  // Before it the arch bears its load; past it, held in place, it would not under a load.
  n_unstable_after = [&]
  {
    Arch past;
    Equilibrium there({&past.body.solid}, {});
    const Loads held_there = sum_of({past.pin(), past.middle.held({-1., 0.}, 2)});
    State at = there.zero(3);
    State earlier = at;
    for (int i = 1; i <= 85; ++i)
    {
      State trial = at + (at - earlier);
      earlier = at;
      REQUIRE(there.solve(trial, at, i * 0.25e-3, held_there).converged);
      at = trial;
      if (at.scalars[2] < 0.97 * most && at.scalars[2] < earlier.scalars[2])
        break;
    }
    State under_load = there.zero(2);
    under_load.q = at.q;
    under_load.scalars = at.scalars.head(2);
    const Loads dead = sum_of({past.pin(), past.middle.dead({-1., 0.})});
    REQUIRE(there.linearise(under_load, at.scalars[2], dead));
    return there.n_unstable(under_load, at.scalars[2], dead, 2);
  }();
  CHECK(n_unstable_before == 0);
  CHECK(n_unstable_after == 1);
}

TEST_CASE("A path without a fold leads to its target", "[verification]")
{
  const LimbDescription bar = straight_bar(length, thickness, width);
  Body body(bar, even_mesh(bar, 20, 1), {{"elastic", elastic_material(modulus, modulus / 2.)}});
  const SectionForce end(body.solid, length, thickness / 2.);
  const Loads load = end.dead({-1., 0.});
  Equilibrium equilibrium({&body.solid}, {});
  State first = equilibrium.zero(0), second;
  REQUIRE(equilibrium.solve(first, first, 1., load).converged);
  second = first;
  REQUIRE(equilibrium.solve(second, first, 2., load).converged);
  const LimitPoint found =
      seek_limit_point(equilibrium, point(equilibrium, first, 1.), point(equilibrium, second, 2.), 10., load);
  REQUIRE(found.end == LimitPoint::End::target);
  CHECK(found.last.parameter < 10.);
  // Bent from its root on: the bending is sharpest there.
  const SharpBend hinge = sharpest_bend(body.solid, found.last.state.q[0], found.motion[0]);
  CHECK(hinge.station < 0.1 * length);
  CHECK(hinge.sharpness > 1.);
}
