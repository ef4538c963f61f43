#include "support/bodies.h"
#include "support/check_table.h"

#include <array>
#include <vector>

using namespace limbwright;
using namespace limbwright::checks;

namespace
{
// A thin bar, so that stretch and shear, which the beam theory leaves out, do not show: (h/L)^2/12 * P L^2/EI = 2e-5 at most.
constexpr double length = 1., thickness = length / 200., width = 0.01, youngs_modulus = 10e9;
constexpr double bending_stiffness = youngs_modulus * width * thickness * thickness * thickness / 12.;

std::map<std::string, Material> materials()
{
  return {{"elastic", elastic_material(youngs_modulus, youngs_modulus / 2.)}};
}
} // namespace

TEST_CASE("A cantilever under a dead load at its end bends as the elastica does", "[verification]")
{
  // P L^2/EI = 1 ... 10: w/L across, u/L along, turn of the end [rad]. Mattiasson 1981, Int. J. Numer. Meth. Engng 17:145,
  // table 1 (elliptic integrals of Bisshopp and Drucker 1945). Looked up for 1, 2, 5 and 10; the others computed anew by the
  // same elliptic integrals.
  const std::array<std::array<double, 3>, 10> reference{{{.30172, .05643, .46135},
                                                         {.49346, .16064, .78175},
                                                         {.60325, .25442, .98602},
                                                         {.66996, .32894, 1.12124},
                                                         {.71379, .38763, 1.21537},
                                                         {.74457, .43459, 1.28370},
                                                         {.76737, .47293, 1.33496},
                                                         {.78498, .50483, 1.37443},
                                                         {.79906, .53182, 1.40547},
                                                         {.81061, .55500, 1.43029}}};
  const LimbDescription bar = straight_bar(length, thickness, width);
  Body body(bar, even_mesh(bar, 60, 1), materials());
  const SectionForce end(body.solid, length, thickness / 2.);
  const SectionMoment director(body.solid, length);
  Equilibrium equilibrium({&body.solid}, {});
  const Loads loads = end.dead({-bending_stiffness / (length * length), 0.});

  CheckTable table("Cantilever, dead load across its end", "Mattiasson 1981 table 1; Bisshopp and Drucker 1945");
  State state = equilibrium.zero(0);
  for (int load = 1; load <= 10; ++load)
  {
    State trial = load == 1 ? state : state + equilibrium.rate(state, load - 1., loads);
    const NewtonResult result = equilibrium.solve(trial, state, load, loads);
    INFO("P L^2/EI = " << load << ": " << result.reason);
    REQUIRE(result.converged);
    state = trial;
    const Eigen::Vector2d moved = end.place(state) - end.reference();
    const std::string at = ", P L^2/EI = " + std::to_string(load);
    table.relative("w/L [1]" + at, -moved.x() / length, reference[load - 1][0], 2e-3);
    table.relative("u/L [1]" + at, -moved.y() / length, reference[load - 1][1], 2e-3);
    table.relative("turn [rad]" + at, director.turn(state), reference[load - 1][2], 2e-3);
  }
}

TEST_CASE("A cantilever under an end moment rolls up into an arc of a circle", "[verification]")
{
  const LimbDescription bar = straight_bar(length, thickness, width);
  Body body(bar, even_mesh(bar, 80, 1), materials());
  const SectionForce end(body.solid, length, thickness / 2.);
  const SectionMoment moment(body.solid, length);
  Equilibrium equilibrium({&body.solid}, {});

  CheckTable table("Cantilever, end moment", "closed form: an arc of radius EI/M");
  {
    const State state = raise_load(equilibrium, moment.moment(pi / 2. * bending_stiffness / length), 2);
    const Eigen::Vector2d place = end.place(state);
    table.relative("quarter circle: place across over L [1]", -place.x() / length, 2. / pi, 2e-3);
    table.relative("quarter circle: place along over L [1]", place.y() / length, 2. / pi, 2e-3);
    table.relative("quarter circle: turn [rad]", moment.turn(state), pi / 2., 2e-3);
  }
  {
    // Steps of 30 degrees: from steps of 45 degrees of a limb this slender Newton's method does not always find its way back.
    const State state = raise_load(equilibrium, moment.moment(2. * pi * bending_stiffness / length), 12);
    const Eigen::Vector2d place = end.place(state);
    table.absolute("full circle: place across over L [1]", place.x() / length, 0., 2e-3);
    table.absolute("full circle: place along over L [1]", place.y() / length, 0., 2e-3);
    table.absolute("full circle: turn left over [rad]", moment.turn(state), 0., 2e-3 * 2. * pi);
    const double energy = body.solid.energy(state.q[0]).laminations;
    table.relative("full circle: strain energy [J]", energy, 2. * pi * pi * bending_stiffness / length, 2e-3);
  }
}

TEST_CASE("Quadratic elements reach their order in the strain energy of a bent bar", "[verification]")
{
  // A thick bar under an end moment, bent to about a quarter circle. With nu = 0 the clamp (no displacement along, free across)
  // is a plane of symmetry, and an end moment acts as a smooth traction: no corner is singular at the order of the elements, so
  // that the energy should converge with the fourth power of the element length (twice the elements' degree). Under a force
  // across the end the clamped corners would be singular and the order would be theirs.
  const double thick = length / 10.;
  const double stiffness = youngs_modulus * width * thick * thick * thick / 12.;
  const LimbDescription bar = straight_bar(length, thick, width);
  std::vector<double> energy, across;
  for (const int n : {1, 2, 4, 8})
  {
    Body body(bar, even_mesh(bar, 5 * n, n), materials());
    const SectionForce end(body.solid, length, thick / 2.);
    const SectionMoment moment(body.solid, length);
    NewtonSettings tight;
    tight.tolerance = 1e-11;
    Equilibrium equilibrium({&body.solid}, tight);
    const State state = raise_load(equilibrium, moment.moment(pi / 2. * stiffness / length), 2);
    energy.push_back(body.solid.energy(state.q[0]).laminations);
    across.push_back(-end.place(state).x());
  }
  CheckTable table("Order of convergence, thick cantilever under an end moment, element length h, h/2, h/4, h/8",
                   "quadratic elements: energy with h^4");
  for (std::size_t i = 0; i < energy.size(); ++i)
  {
    const std::string mesh = "h/" + std::to_string(1 << i);
    table.note(mesh + ": strain energy [J]", energy[i]);
    table.note(mesh + ": place of the end across [m]", across[i]);
  }
  const auto order = [](const std::vector<double> &v, std::size_t i)
  { return std::log2(std::abs((v[i] - v[i + 1]) / (v[i + 1] - v[i + 2]))); };
  table.note("order of the strain energy, first three [1]", order(energy, 0));
  table.at_least("order of the strain energy, last three [1]", order(energy, 1), 3.);
  table.note("order of the end's place, first three [1]", order(across, 0));
  table.at_least("order of the end's place, last three [1]", order(across, 1), 3.);
}
