#include "cases/study/strip_match.h"
#include "cases/study/strip_flex.h"
#include "solver/stages/draw_bow.h"
#include "support/bodies.h"
#include "support/cases.h"
#include "support/check_table.h"

using namespace limbwright;
using namespace limbwright::checks;

namespace
{
constexpr double in = 0.0254;
}

TEST_CASE("A flexed strip sags as the solid does", "[verification]")
{
  // By symmetry half of it: held in its middle, half of the weight at its end. A strip of even thickness, and one that is ground
  // to two tapers from its middle.
  CheckTable table("A strip on two supports under a weight in its middle, small deflections", "the solid of the same strip");
  constexpr double half = 0.25, width = 40e-3, load = 0.02;
  for (const double end_thickness : {3e-3, 2e-3})
  {
    LimbDescription bar = straight_bar(half, 3e-3, width);
    bar.laminations[0].thickness = {{0., half}, {3e-3, end_thickness}};
    const Material material = elastic_material(12e9, 0.8e9);
    Body body(bar, even_mesh(bar, 60, 2), {{"elastic", material}});
    const SectionForce end(body.solid, half, end_thickness / 2.);
    Equilibrium equilibrium({&body.solid}, {});
    const State state = raise_load(equilibrium, end.dead({-0.5 * load, 0.}), 1);

    MeasuredStrip strip;
    strip.thickness = {{0., half, 2. * half}, {end_thickness, 3e-3, end_thickness}};
    strip.width = width;
    strip.span = 2. * half;
    strip.middle = half;
    strip.load = load;
    table.relative("deflection [m], ends of " + std::to_string(end_thickness * 1e3) + " mm",
                   strip_deflection(strip, bar.laminations[0], material), -(end.place(state) - end.reference()).x(), 2e-3);
  }
}

TEST_CASE("What a strip does to the bow agrees with whole solutions", "[verification]")
{
  // Two thousandths and five per cent: the second order is then some two per cent of the change.
  Case bow = read(std::filesystem::path(LIMBWRIGHT_EXAMPLES) / "maple-glass-thin" / "maple-glass-thin.toml");
  bow.solve.wood_yields = false;
  const auto strip = [&](const std::string &name, double off, double modulus)
  {
    MeasuredStrip one;
    one.name = name;
    one.lamination = "back-side maple";
    one.thickness = bow.bow.upper.laminations[6].thickness;
    for (double &value : one.thickness.value)
      value += off;
    one.width = 1.5 * in;
    one.span = 20. * in;
    one.middle = 17. * in;
    one.load = 1.;
    const LaminationDescription &lamination = bow.bow.upper.laminations[6];
    one.deflection = strip_deflection(one, lamination, bow_in_use(bow).bow.materials.at("hard-maple")) / modulus;
    return one;
  };
  bow.measured.strips = {strip("thick and stiff", 2e-3 * in, 1.05), strip("thin", -2e-3 * in, 1.)};
  const StripMatch match = match_strips(bow, not_known, {}, nullptr);
  INFO(match.reason);
  REQUIRE(match.complete);
  CheckTable table("Two unlike strips in one bow", "whole solutions of the same model");
  double weight = match.nominal_weight, tiller = match.nominal_tiller;
  for (std::size_t limb = 0; limb < 2; ++limb)
  {
    weight += match.effects[match.pairs[0].strip[limb]].weight[limb];
    tiller += match.effects[match.pairs[0].strip[limb]].tiller[limb];
  }
  table.absolute("change of the weight [N]", weight - match.nominal_weight, match.paired_weight - match.nominal_weight,
                 0.03 * (match.effects[0].weight[0] - match.effects[1].weight[0]));
  table.relative("tiller at full draw [m]", tiller, match.paired_tiller, 0.05);
  // Corrected, both are what they were.
  CHECK(match.reached);
  const DrawResults whole = draw_quickly(match.built, false, nullptr);
  table.relative("weight of the corrected bow [N]", whole.draw_weight, match.nominal_weight, 2e-3);
  table.absolute("tiller of the corrected bow [m]", whole.gaps_full.tiller(), match.nominal_tiller, in / 64.);
}
