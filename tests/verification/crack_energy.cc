// Energy release at the edge of an open patch.

#include "solver/failure/energy_release.h"
#include "support/crack_specimen.h"

using namespace limbwright;
using namespace limbwright::checks;

namespace
{
// Glue that stays elastic beyond the crack, and stiff.
CrackSpecimen elastic(CrackSpecimen specimen)
{
  specimen.bond = {.normal_stiffness = 1e15, .shear_stiffness = 1e15};
  return specimen;
}
} // namespace

TEST_CASE("A crack's energy release by virtual closure is that of corrected beam theory", "[verification]")
{
  const CrackSpecimen dcb = elastic(t300_1076());
  const auto body = dcb.body();
  const HeldDisplacements held = arms_apart(body->solid, dcb.length);
  const CrackRun run = pull(body->solid, dcb.width, held, {0.2e-3});
  const auto edges = energy_release(body->solid, body->solid.space().expand(run.state.q[0]));
  for (const auto &edge : edges)
    UNSCOPED_INFO("edge at " << edge.station << (edge.toward_tip ? " toward the tip" : "") << ", line " << edge.line);
  REQUIRE(edges.size() == 1);
  const BeamTheory beam = beam_theory(dcb);
  CheckTable table("Energy release of arms pulled apart", "corrected beam theory (Williams 1989)");
  table.relative("G_I [J/m2]", edges[0].opening, beam.opened(run.state.scalars[0], dcb.crack), 2e-2);
  table.at_most("G_II over G_I [1]", edges[0].sliding / edges[0].opening, 1e-6);
  CHECK(edges[0].station == Approx(dcb.length - dcb.crack));
  CHECK_FALSE(edges[0].toward_tip);
}

TEST_CASE("The energy release of a crack in a bent bar is that of corrected beam theory", "[verification]")
{
  CrackSpecimen enf = elastic(as4_peek());
  enf.growth = 3e-3;
  const BeamTheory beam = beam_theory(enf);
  CheckTable table("Energy release of bent bars", "corrected beam theory (Williams 1989)");
  {
    const auto body = enf.body();
    const HeldDisplacements held = bend(body->solid, enf);
    const CrackRun run = pull(body->solid, enf.width, held, {0.1e-3});
    const auto edges = energy_release(body->solid, body->solid.space().expand(run.state.q[0]));
    REQUIRE(edges.size() == 1);
    table.relative("bent, G_II [J/m2]", edges[0].sliding, beam.bent(run.state.scalars[0], enf.crack), 3e-2);
    table.at_most("bent, G_I over G_II [1]", edges[0].opening / edges[0].sliding, 1e-3);
  }
  {
    const double c = 44.4e-3;
    const auto body = enf.body();
    const HeldDisplacements held = lever(body->solid, enf, c);
    const CrackRun run = pull(body->solid, enf.width, held, {0.1e-3});
    const auto edges = energy_release(body->solid, body->solid.space().expand(run.state.q[0]));
    REQUIRE(edges.size() == 1);
    const double P = run.state.scalars[0], half = enf.middle;
    table.relative("lever, G_I [J/m2]", edges[0].opening, beam.opened(P * (3. * c - half) / (4. * half), enf.crack), 3e-2);
    table.relative("lever, G_II [J/m2]", edges[0].sliding, beam.bent(P * (c + half) / half, enf.crack), 3e-2);
  }
}

namespace
{
// Energy that a lever's crack would set free, at a displacement held: from the energies stored beside a crack half a millimetre
// shorter and longer. [J/m2]
double released(CrackSpecimen mmb, double c, double displacement)
{
  const double less = 0.5e-3;
  double stored[2];
  mmb.crack -= less;
  for (double &energy : stored)
  {
    const auto body = mmb.body();
    energy = pull(body->solid, mmb.width, lever(body->solid, mmb, c), {displacement}).stored;
    mmb.crack += 2. * less;
  }
  return (stored[0] - stored[1]) / (2. * less * mmb.width);
}
} // namespace

TEST_CASE("The critical forces of a published benchmark with mixed modes are found by energies", "[verification]")
{
  CheckTable table("Mixed-mode bending, IM7/8552, by energy release", "Krueger 2012, NASA/CR-2012-217562, at second hand");
  CrackSpecimen mmb = elastic(im7_8552());
  mmb.growth = 3e-3;
  CohesiveBond energies;
  energies.fracture_energy_I = 212.;
  energies.fracture_energy_II = 774.;
  energies.mixed_mode_exponent = 2.1;
  struct Lever
  {
    const char *what;
    double c, force, way;
  };
  for (const Lever &l : {Lever{"20 % of sliding", 92.9e-3, 128.5, 1.64e-3}, Lever{"80 % of sliding", 27.3e-3, 751., 1.65e-3}})
  {
    const std::string what = l.what;
    const double w = 0.1e-3;
    const auto body = mmb.body();
    const HeldDisplacements held = lever(body->solid, mmb, l.c);
    const CrackRun run = pull(body->solid, mmb.width, held, {w});
    const auto edges = energy_release(body->solid, body->solid.space().expand(run.state.q[0]));
    REQUIRE(edges.size() == 1);
    const double critical = fracture_energy(energies, edges[0].sliding_share()), G = released(mmb, l.c, w);
    const double closure = std::sqrt(critical / edges[0].total()), difference = std::sqrt(critical / G);
    table.relative(what + ", virtual closure: force [N]", run.state.scalars[0] * closure, l.force, 4e-2);
    table.relative(what + ", difference of energies: force [N]", run.state.scalars[0] * difference, l.force, 4e-2);
    table.relative(what + ", difference of energies: way of the load [m]", w * difference, l.way, 2e-2);
    table.note("  share of sliding [1]", edges[0].sliding_share());
  }
}
