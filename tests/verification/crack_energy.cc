// Energy release at the edge of an open patch.

#include "solver/failure/energy_release.h"
#include "support/crack_specimen.h"

using namespace limbwright;
using namespace limbwright::checks;

namespace
{
constexpr double peek_E1 = 122.7e9, peek_E2 = 10.1e9, peek_G = 5.5e9; // Pa, AS4/PEEK
} // namespace

TEST_CASE("A crack's energy release by virtual closure is that of corrected beam theory", "[verification]")
{
  CrackSpecimen dcb{.length = 70e-3,
                    .arm = 1.5e-3,
                    .width = 25e-3,
                    .crack = 30e-3,
                    .material = laminate(139.4e9, 10.16e9, 4.6e9, 3.54e9, 0.30, 0.436),
                    .bond = {.normal_stiffness = 1e15, .shear_stiffness = 1e15}};
  const auto body = dcb.body();
  const HeldDisplacements held = arms_apart(body->solid, dcb.length);
  const CrackRun run = pull(body->solid, dcb.width, held, {0.2e-3});
  const auto edges = energy_release(body->solid, body->solid.space().expand(run.state.q[0]));
  REQUIRE(edges.size() == 1);
  const BeamTheory beam{139.4e9, 10.16e9, 4.6e9, dcb.width, dcb.arm};
  CheckTable table("Energy release of arms pulled apart", "corrected beam theory (Williams 1989)");
  table.relative("G_I [J/m2]", edges[0].opening, beam.opened(run.state.scalars[0], dcb.crack), 2e-2);
  table.at_most("G_II over G_I [1]", edges[0].sliding / edges[0].opening, 1e-6);
  CHECK(edges[0].station == Approx(dcb.length - dcb.crack));
  CHECK_FALSE(edges[0].toward_tip);
}

TEST_CASE("The energy release of a crack in a bent bar is that of corrected beam theory", "[verification]")
{
  CrackSpecimen enf = on_supports({.length = 102e-3,
                                   .arm = 1.56e-3,
                                   .width = 25.4e-3,
                                   .crack = 39.3e-3,
                                   .material = laminate(peek_E1, peek_E2, peek_G, 3.7e9, 0.25, 0.45),
                                   .bond = {}});
  enf.bond = {.normal_stiffness = 1e15, .shear_stiffness = 1e15};
  enf.growth = 3e-3;
  const BeamTheory beam{peek_E1, peek_E2, peek_G, enf.width, enf.arm};
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
  CrackSpecimen mmb = on_supports({.length = 100.8e-3,
                                   .arm = 2.25e-3,
                                   .width = 25.4e-3,
                                   .crack = 25.4e-3,
                                   .material = laminate(161e9, 11.38e9, 5.2e9, 3.9e9, 0.32, 0.45),
                                   .bond = {}});
  mmb.bond = {.normal_stiffness = 1e15, .shear_stiffness = 1e15};
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
