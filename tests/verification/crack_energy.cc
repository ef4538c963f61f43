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

TEST_CASE("Virtual closure finds the critical forces of a published benchmark with mixed modes", "[verification]")
{
  CheckTable table("Mixed-mode bending, IM7/8552, by energy release", "Krueger 2012, NASA/CR-2012-217562, at second hand");
  CrackSpecimen mmb = elastic(im7_8552());
  mmb.growth = 3e-3;
  CohesiveBond energies;
  energies.fracture_energy_I = 212.;
  energies.fracture_energy_II = 774.;
  energies.mixed_mode_exponent = 2.1;
  for (const auto &[c, P, what] :
       {std::tuple{92.9e-3, 128.5, "20 % of sliding, force [N]"}, std::tuple{27.3e-3, 751., "80 % of sliding, force [N]"}})
  {
    const auto body = mmb.body();
    const HeldDisplacements held = lever(body->solid, mmb, c);
    const CrackRun run = pull(body->solid, mmb.width, held, {0.1e-3});
    const auto edges = energy_release(body->solid, body->solid.space().expand(run.state.q[0]));
    REQUIRE(edges.size() == 1);
    const double critical = fracture_energy(energies, edges[0].sliding_share());
    table.relative(what, run.state.scalars[0] * std::sqrt(critical / edges[0].total()), P, 4e-2);
    table.note("  share of sliding [1]", edges[0].sliding_share());
  }
}
