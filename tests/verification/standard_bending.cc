#include "cases/reader/material_library.h"
#include "materials/law/fibre_bending.h"
#include "solver/failure/recovery.h"
#include "support/bodies.h"
#include "support/check_table.h"

#include <algorithm>
#include <cmath>
#include <cstdio>

using namespace limbwright;
using namespace limbwright::checks;

namespace
{
// The bending test of small clear specimens: 2 x 2 in, span 28 in, load at mid-span (ASTM D143-23, secondary method aside). By
// symmetry the half of it from mid-span out is a cantilever that bears half the load at its end.
constexpr double inch = 0.0254, depth = 2. * inch, half_span = 14. * inch;

struct BendingTest
{
  double stiffness_over_timoshenko = 0.; // [1] small loads
  double moment = 0.;                    // [N m] largest up to the break
  double strain_beside = 0.;             // [1] on the back one depth from the load, at the last step
  double moment_beside = 0.;             // [N m] there
  bool broken = false;
  int steps = 0;
};

BendingTest bend(const Material &wood, const CrushingLaw &law)
{
  Body body(straight_bar(half_span, depth, depth), even_mesh(straight_bar(half_span, depth, depth), 28, 6), {{"elastic", wood}});
  const SectionForce load(body.solid, half_span, depth / 2.);
  const Eigen::Vector2d toward_belly(-1., 0.); // the back stretches
  const Loads held = load.held(toward_belly, 0);
  Equilibrium equilibrium({&body.solid}, {});
  State state = equilibrium.zero(1);
  BendingTest test;

  const double E = wood.constants.E_L, I = std::pow(depth, 4) / 12., A = depth * depth;
  const double small = 1e-6; // [m]
  REQUIRE(equilibrium.solve(state, equilibrium.zero(1), small, held).converged);
  test.stiffness_over_timoshenko =
      state.scalars[0] / small * (std::pow(half_span, 3) / (3. * E * I) + 1.2 * half_span / (wood.constants.G_LR * A));

  body.solid.let_crush({law});
  state = equilibrium.zero(1);
  // Steps of a tenth of the deflection at which an elastic bar would reach the listed strength.
  const double step = 0.1 * 2. * wood.modulus_of_rupture * half_span * half_span / (3. * E * depth);
  // The load keeps the section under it from warping, which puts some three per cent on the stress of its faces that beam theory
  // does not know of; so the moment is compared one depth away from it.
  Crushed crushed;
  double moment = 0., stress = 0.;
  for (double deflection = step; !test.broken && test.steps < 100; deflection += step)
  {
    const State before = state;
    if (test.steps > 0)
      state = before + equilibrium.rate(before, deflection - step, held) * step;
    const NewtonResult result = equilibrium.solve(state, before, deflection, held);
    INFO(wood.name << ", deflection " << deflection << " m: " << result.reason);
    REQUIRE(result.converged);
    body.solid.commit(state.q[0]);
    ++test.steps;
    const Eigen::VectorXd u = body.solid.space().expand(state.q[0]);
    const NodalFields fields = recover_nodal_fields(body.solid, u, crushed);
    crushed = fields.crushed;
    double now = 0.;
    for (std::size_t n = 0; n < body.solid.nodes().size(); ++n)
    {
      const auto &node = body.solid.nodes()[n];
      if (node.depth > 1e-9)
        continue;
      if (node.station < 1e-9)
        now = fields.stress[n][0];
      if (std::abs(node.station - depth) < 1e-9)
      {
        test.strain_beside = fields.strain[n][0];
        test.moment_beside = state.scalars[0] * (load.place(state).y() - node.place[1] - u[2 * static_cast<Eigen::Index>(n) + 1]);
      }
    }
    const double moment_now = state.scalars[0] * load.place(state).y();
    test.broken = now >= wood.strengths.tension_L;
    const double share = test.broken ? (wood.strengths.tension_L - stress) / (now - stress) : 1.;
    test.moment = std::max(test.moment, moment + share * (moment_now - moment));
    moment = moment_now;
    stress = now;
  }
  return test;
}
} // namespace

TEST_CASE("The library's woods in the standard bending test: stiffness and strength", "[slow]")
{
  CheckTable table("Bars of 2 x 2 in over 28 in, load in the middle, to the break of the back",
                   "deflection: Timoshenko's beam; moment: a bar of fibres with the same law (materials/law/fibre_bending.h); "
                   "modulus of rupture: Wood Handbook 2021 (FPL-GTR-282) Table 5-3, from which the tension strengths were "
                   "derived: that it comes back is consistency, no validation");
  int n_woods = 0;
  for (const auto &[name, wood] : library_materials())
  {
    const auto law = crushing_law(wood);
    if (wood.kind != MaterialKind::wood || !law || std::isnan(wood.modulus_of_rupture))
      continue;
    ++n_woods;
    const BendingTest test = bend(wood, *law);
    INFO(name);
    CHECK(test.broken);
    const double section = std::pow(depth, 3) / 6.;
    FibreBar fibres(*law, wood.constants.E_L, depth, depth, 400);
    double curvature = 0.;
    while (fibres.back_strain() < test.strain_beside)
      fibres.bend_to(curvature += 5e-3 * wood.modulus_of_rupture / (wood.constants.E_L * depth));
    table.relative(name + ": stiffness over Timoshenko's [1]", test.stiffness_over_timoshenko, 1., 0.01);
    table.relative(name + ": moment beside the load [N m]", test.moment_beside, fibres.moment(), 0.03);
    // From the strain right under the load; the back of a real bar has the roller's pressure spread over the depth beside it.
    const double strength = test.moment / section / 1e6, listed = wood.modulus_of_rupture / 1e6;
    // The limit is a Green-Lagrange strain, e + e^2 / 2, the fibres' an engineering strain.
    const double E = wood.constants.E_L, limit = std::sqrt(1. + 2. * wood.strengths.tension_L / E) - 1.;
    table.relative(name + ": modulus of rupture over the fibres' [1]", strength * 1e6 / bending_strength(*law, E, E * limit), 1.,
                   0.05);
    // Tension strength derived is held to 1.6 times the modulus of rupture; where it was, that is lost here.
    if (wood.strengths.tension_L < 1.599 * wood.modulus_of_rupture)
      table.relative(name + ": modulus of rupture [MPa]", strength, listed, 0.05);
    else
      table.note(name + ": modulus of rupture over the listed [1], held", strength / listed);
    table.note(name + ": tension over crushing strength [1]", wood.strengths.tension_L / wood.strengths.compression_L);
  }
  CHECK(n_woods >= 8);
  // Validation, no tolerance: tension over crushing strength, green, of small clear pieces, Record 1914, The Mechanical
  // Properties of Wood (ratios from memory of its tables): hickory 3.7, elm 3.8, western larch 2.3, longleaf pine 2.2.
  std::printf("  measured, green (Record 1914, from memory): hickory 3.7, elm 3.8, western larch 2.3, longleaf pine 2.2\n");
}
