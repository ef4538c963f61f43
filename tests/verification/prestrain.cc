#include "solver/failure/recovery.h"
#include "solver/stages/prestress.h"
#include "support/bodies.h"
#include "support/check_table.h"

#include <cmath>

using namespace limbwright;
using namespace limbwright::checks;

namespace
{
constexpr double length = 0.3, width = 25e-3;

/// A strip of laminations of equal width, glued without thickness, along the grain stiff as stated [Pa].
LimbDescription strip(const std::vector<std::pair<std::string, double>> &laminations, double lean_at_end)
{
  double whole = 0.;
  LimbDescription limb = straight_bar(length, 1., width);
  limb.laminations.clear();
  for (const auto &[material, thickness] : laminations)
  {
    limb.laminations.push_back(full_lamination(material, thickness, 0., length));
    limb.laminations.back().name += " " + std::to_string(limb.laminations.size());
    whole += thickness;
  }
  limb.glue.assign(laminations.size() - 1, {});
  for (GlueLineDescription &line : limb.glue)
    line.bond_stiffness = 1e16;
  limb.root_back_x = whole / 2.;
  limb.profile.lean = {{0., length}, {0., lean_at_end}};
  return limb;
}

const std::map<std::string, Material> materials{{"wood", elastic_material(13e9, 6.5e9)},
                                                {"backing", elastic_material(40e9, 20e9)}};

// The whole prestrain in quarters, without any load.
State released(Equilibrium &equilibrium, LayeredSolid<2> &solid)
{
  State state = equilibrium.zero(0);
  for (const double share : {0.25, 0.5, 0.75, 1.})
  {
    solid.scale_prestrain(share);
    const State before = state;
    const NewtonResult result = equilibrium.solve(state, before, 0., [](const State &, double, CoupledSystem &) {});
    INFO("share " << share << ": " << result.reason);
    REQUIRE(result.converged);
  }
  return state;
}

double middle_curvature(const Body &body, const State &state)
{
  const Eigen::VectorXd u = body.solid.space().expand(state.q[0]);
  for (const SectionFit &fit : fit_sections(body.solid, recover_nodal_fields(body.solid, u)))
    if (std::abs(fit.station - 0.5 * length) < 1e-6)
      return -fit.slope; // positive toward the belly
  return 0.;
}

// [Pa] along the grain in the middle of the strip, at a depth within a lamination.
double middle_stress(const Body &body, const State &state, int lamination, double depth)
{
  const NodalFields fields = recover_nodal_fields(body.solid, body.solid.space().expand(state.q[0]));
  for (std::size_t n = 0; n < body.solid.nodes().size(); ++n)
  {
    const auto &node = body.solid.nodes()[n];
    if (node.lamination == lamination && std::abs(node.station - 0.5 * length) < 1e-6 && std::abs(node.depth - depth) < 1e-9)
      return fields.stress[n][0];
  }
  FAIL("no node there");
  return 0.;
}
} // namespace

TEST_CASE("A backing that shrinks bends a strip as two metals joined do", "[verification]")
{
  CheckTable table("Wood of 10 mm, 13 GPa, backing of 1 mm, 40 GPa, that shrinks by .002",
                   "Timoshenko 1925, Analysis of bi-metal thermostats, J. Opt. Soc. Am. 11:233, eq. 4");
  const double h = 11e-3, m = 1. / 10., n = 40. / 13., mismatch = 0.002;
  const double curvature =
      6. * mismatch * (1. + m) * (1. + m) / (h * (3. * (1. + m) * (1. + m) + (1. + m * n) * (m * m + 1. / (m * n))));
  // Forces in the two strips and the stresses they and the bending leave, ibid.: P (h / 2) = (E1 I1 + E2 I2) curvature.
  const double bending = 13e9 * std::pow(10e-3, 3) / 12. + 40e9 * std::pow(1e-3, 3) / 12.; // per width
  const double force = 2. * bending * curvature / h;
  const double back = force / 1e-3 - 40e9 * curvature * 0.5e-3, belly = -force / 10e-3 + 13e9 * curvature * 5e-3;

  LimbDescription limb = strip({{"wood", 10e-3}, {"backing", 1e-3}}, 0.);
  limb.laminations[1].shrinkage = mismatch;
  SECTION("released, as from its form")
  {
    Body body(limb, even_mesh(limb, 60, 2), materials);
    Equilibrium equilibrium({&body.solid}, {});
    const State state = released(equilibrium, body.solid);
    // The back shortens: the strip bends toward the back, in which sense a drawn limb unbends.
    table.relative("curvature [1/m]", -middle_curvature(body, state), curvature, 0.003);
    table.relative("stress in the back [MPa]", middle_stress(body, state, 1, 0.) / 1e6, back / 1e6, 0.005);
    table.relative("stress in the belly [MPa]", middle_stress(body, state, 0, h) / 1e6, belly / 1e6, 0.005);
  }
  SECTION("the described shape kept")
  {
    Body body(limb, even_mesh(limb, 60, 2), materials);
    keep_described_shape(body.solid);
    Equilibrium equilibrium({&body.solid}, {});
    const State state = released(equilibrium, body.solid); // goes away and comes back with the whole prestrain
    // Rounding: a millionth of what the strip would bend by.
    table.absolute("displacement of the strip [m]", state.q[0].cwiseAbs().maxCoeff(), 0., 1e-8);
    table.relative("stress in the back [MPa]", middle_stress(body, state, 1, 0.) / 1e6, back / 1e6, 0.002);
    table.relative("stress in the belly [MPa]", middle_stress(body, state, 0, h) / 1e6, belly / 1e6, 0.002);
  }
}

TEST_CASE("Laminations glued while bent spring back by the share of their own stiffness", "[verification]")
{
  // n alike laminations, each straight at first: let go, the whole unbends by M / (E I) of what held the laminations bent,
  // curvature n (t / n)^3 / t^3 = curvature / n^2.
  CheckTable table("Strips of n laminations, 9 mm together, bent to a radius of .5 m and glued",
                   "Euler-Bernoulli beam theory; the balance is written out in the test");
  for (const int n : {2, 3, 5})
  {
    LimbDescription limb = strip(std::vector<std::pair<std::string, double>>(n, {"wood", 9e-3 / n}), length / 0.5);
    for (LaminationDescription &lamination : limb.laminations)
      lamination.bent_to_form = true;
    Body body(limb, even_mesh(limb, 60, 2), materials);
    Equilibrium equilibrium({&body.solid}, {});
    const State state = released(equilibrium, body.solid);
    // Strains of .9 % thickness over radius: the curved bar's own stiffness differs from the straight one's by 1e-4 only, but its
    // fibres' lengths do by half the thickness over the radius.
    table.relative(std::to_string(n) + " laminations: curvature given back [1/m]", middle_curvature(body, state), 2. / (n * n),
                   0.01);
  }
}
