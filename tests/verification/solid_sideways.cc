// How solids stand sideways, against closed forms.
#include "solver/stages/sideways.h"
#include "support/bodies.h"
#include "support/check_table.h"
#include "support/solid_mesh.h"

#include <cmath>

using namespace limbwright;
using namespace limbwright::checks;

TEST_CASE("A narrow cantilever tells by what its load may grow until it tips over", "[verification]")
{
  // The load at which it tips as in solid_bodies.cc: P = 4.013 sqrt(B C)/L^2 (Timoshenko and Gere 1961, art. 6.4), raised by the
  // bend before it, 1/sqrt((1 - B/A)(1 - C/A)) (from memory).
  const double length = 1., height = 0.03, width = 0.004, E = 10e9, G = E / 2.;
  LimbDescription bar = straight_bar(length, height, width);
  SolidBody body(bar, solid_mesh(bar, 40, 4, 1, false), {{"elastic", elastic_material(E, G, 0.)}});
  const SectionForce end(body.solid, length, height / 2.);
  const double A = E * width * std::pow(height, 3) / 12., B = E * height * std::pow(width, 3) / 12.;
  const double C = G * height * std::pow(width, 3) / 3. * (1. - 0.63 * width / height);
  const double tips = 4.013 * std::sqrt(B * C) / (length * length) / std::sqrt((1. - B / A) * (1. - C / A));
  Equilibrium equilibrium({&body.solid}, {});
  const Loads load = end.dead_in_space({-1., 0., 0.});
  State state = equilibrium.zero(0);
  CheckTable table("What a narrow cantilever's load may grow by", "Timoshenko and Gere 1961, art. 6.4");

  // A force across the end of the unloaded bar: P L^3 / (3 B) + P L / (5/6 G area).
  REQUIRE(equilibrium.linearise(state, 0., load));
  const double soft = std::pow(length, 3) / (3. * B) + length / (5. / 6. * G * width * height);
  // The clamp lets nothing warp or bulge: the mesh's bar is some .2 % stiffer.
  table.relative("stiffness across the free end [N/m]", sideways_stiffness(equilibrium, 0, length, height / 2., 0), 1. / soft,
                 5e-3);

  for (const double share : {0.25, 0.5, 0.8})
  {
    REQUIRE(equilibrium.solve(state, state, share * tips, load).converged);
    const auto mode = critical_mode(equilibrium, state, share * tips, load, 0);
    REQUIRE(mode);
    // 2.5 % of the load: as in the search for it in solid_bodies.cc. The shape at hand is the bent bar's, which bends on before
    // it tips: less so the nearer it is.
    table.relative("load at which it tips, seen from " + std::to_string(static_cast<int>(100. * share)) + " % [N]",
                   mode->factor * share * tips, tips, 3e-2);
    CHECK(share_across(equilibrium, mode->way) > 0.9);
    CHECK(sideways_stiffness(equilibrium, 0, length, height / 2., 0) < 1. / soft);
  }

  // Past it the state does not stand.
  REQUIRE(equilibrium.solve(state, state, 1.1 * tips, load).converged);
  const auto past = critical_mode(equilibrium, state, 1.1 * tips, load, 0);
  REQUIRE(past);
  table.relative("the same from 110 % [N]", past->factor * 1.1 * tips, tips, 3e-2);
  CHECK(past->factor < 1.);
}
