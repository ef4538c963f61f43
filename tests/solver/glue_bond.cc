#include "solver/model/glue_bond.h"

#include <catch2/catch.hpp>

using namespace limbwright;

namespace
{
std::map<std::string, Adhesive> adhesives()
{
  Adhesive glue, dust;
  glue.youngs_modulus = 2e9;
  glue.shear_modulus = 0.8e9;
  glue.tensile_strength = 30e6;
  glue.shear_strength = 20e6;
  glue.fracture_energy_I = 400.;
  glue.fracture_energy_II = 1500.;
  dust.youngs_modulus = 3e9;
  dust.shear_modulus = 1.1e9;
  dust.tensile_strength = 10e6;
  dust.shear_strength = 8e6;
  dust.fracture_energy_I = 200.;
  dust.fracture_energy_II = 600.;
  return {{"glue", glue}, {"dust", dust}};
}

Material wood()
{
  Material material;
  material.strengths.tension_R = 12e6;
  material.strengths.shear_LR = 15e6;
  return material;
}
} // namespace

TEST_CASE("A filled gap holds as its filling does, of part of the width as both", "[quick]")
{
  const auto table = adhesives();
  const Material beside = wood();
  GlueLineDescription line{"glue", 0.2e-3, 0.};
  GluePatch patch{0.1, 0.2, 0.8, 1., 0.3e-3, 0., "dust"};
  const auto strength = [&](const GluePatch *there)
  { return GlueBond(line, there, true, table).strength(beside, RingOrientation::flat, beside, RingOrientation::flat); };
  CHECK(strength(nullptr).peel == Approx(12e6)); // the wood is the weaker
  CHECK(strength(nullptr).shear == Approx(15e6));
  CHECK(strength(&patch).peel == Approx(0.8 * 10e6));
  CHECK(strength(&patch).shear == Approx(0.8 * 8e6));
  const auto stiffness = [&](const GluePatch &there, bool spread, double thickness)
  { return GlueBond(line, &there, spread, table).stiffness(0.15, thickness); };
  // In the middle the whole gap and the line's own thickness are of the filling.
  CHECK(stiffness(patch, true, 0.5e-3).normal == Approx(3e9 / 0.5e-3));
  CHECK(stiffness(patch, true, 0.5e-3).shear == Approx(1.1e9 / 0.5e-3));

  patch.width_share = 0.25; // the faces do not stand apart in the shape then
  CHECK(patch.gap_at(0.15) == 0.);
  CHECK(strength(&patch).peel == Approx(0.75 * 12e6 + 0.25 * 0.8 * 10e6));
  CHECK(stiffness(patch, true, 0.2e-3).normal == Approx(0.75 * 2e9 / 0.2e-3 + 0.25 * 3e9 / 0.5e-3));
  CHECK(stiffness(patch, false, 0.2e-3).normal == Approx(3e9 / 0.5e-3)); // a solid has it in its place
  const CohesiveBond bond =
      GlueBond(line, &patch, true, table).parting(beside, RingOrientation::flat, beside, RingOrientation::flat);
  CHECK(bond.fracture_energy_I == Approx(0.75 * 300. + 0.25 * 0.8 * 200.)); // of the wood, of the filling
  CHECK(bond.fracture_energy_II == Approx(0.75 * 1000. + 0.25 * 0.8 * 600.));
}

TEST_CASE("A split holds as the wood does, and is open where nothing fills it", "[quick]")
{
  const auto table = adhesives();
  const Material beside = wood();
  GlueLineDescription line;
  line.bond_stiffness = 1e15;
  line.of_split = true;
  const GlueBond whole(line, nullptr, true, table);
  const BondStrength strength = whole.strength(beside, RingOrientation::flat, beside, RingOrientation::flat);
  CHECK(strength.peel == 12e6);
  CHECK(strength.shear == 15e6);
  const CohesiveBond bond = whole.parting(beside, RingOrientation::flat, beside, RingOrientation::flat);
  CHECK(bond.fracture_energy_I == wood_fracture_energy.opening);
  CHECK(bond.fracture_energy_II == wood_fracture_energy.sliding);
  CHECK(whole.holding() == 1.);
  GluePatch open{0.1, 0.2};
  CHECK(GlueBond(line, &open, true, table).holding() == 0.);
  open.width_share = 0.4;
  CHECK(GlueBond(line, &open, true, table).holding() == Approx(0.6));
  CHECK(GlueBond(line, &open, false, table).holding() == 0.);
  CHECK(GlueBond(line, &open, true, table).strength(beside, RingOrientation::flat, beside, RingOrientation::flat).peel ==
        Approx(0.6 * 12e6));
}
