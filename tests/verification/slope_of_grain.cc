#include "cases/reader/material_library.h"
#include "materials/law/failure_criteria.h"
#include "materials/law/wood_bending.h"
#include "solver/failure/snapshot.h"
#include "support/bodies.h"
#include "support/check_table.h"

#include <algorithm>
#include <cmath>
#include <cstdio>

using namespace limbwright;
using namespace limbwright::checks;

namespace
{
// Small clear specimens in the middle-loaded test, 2 x 2 in over 28 in, the grain sloping all along.
constexpr double inch = 0.0254, depth = 2. * inch, span = 28. * inch;

struct Bent
{
  double modulus = 0.;  // [Pa] apparent
  double strength = 0.; // [Pa] apparent, at the first break of the back
};

// as_region: the slope is a weak zone's; else the lamination's own run-out.
Bent bend(const Material &wood, double slope, bool as_region)
{
  LimbDescription bar = straight_bar(span, depth, depth);
  if (as_region && slope != 0.)
    bar.weak.regions = {{0, -1., 2. * span, slope}};
  else if (slope != 0.)
    bar.laminations[0].run_out = StationTable::constant(slope);
  Supports supports;
  supports.nodes = {{0., depth / 2., true, true}, {span, depth / 2., false, true}};
  const std::map<std::string, Material> woods{{"elastic", wood}};
  const std::map<std::string, Adhesive> none;
  Body body(bar, even_mesh(bar, 56, 6), woods, none, PlaneState::stress, supports);
  LimbJudge judge(body.solid, woods, none, 0.);
  const SectionForce load(body.solid, span / 2., depth / 2.);
  const Loads held = load.held(Eigen::Vector2d(1., 0.), 0); // toward the back, which stretches
  Equilibrium equilibrium({&body.solid}, {});
  State state = equilibrium.zero(1);
  Bent result;
  const double I = std::pow(depth, 4) / 12., small = 1e-6; // [m]
  REQUIRE(equilibrium.solve(state, equilibrium.zero(1), small, held).converged);
  result.modulus = std::abs(state.scalars[0]) / small * std::pow(span, 3) / (48. * I);

  body.solid.let_crush({crushing_law(wood)});
  state = equilibrium.zero(1);
  const double step = 0.06 * wood.modulus_of_rupture * span * span / (6. * wood.constants.E_L * depth);
  double index = 0., force = 0.;
  Crushed crushed;
  for (double deflection = step; index < 1.; deflection += step)
  {
    const State before = state;
    if (force > 0.)
      state = before + equilibrium.rate(before, deflection - step, held) * step;
    const NewtonResult solved = equilibrium.solve(state, before, deflection, held);
    INFO("slope " << slope << ", deflection " << deflection << " m: " << solved.reason);
    REQUIRE(solved.converged);
    body.solid.commit(state.q[0]);
    const NodalFields fields = recover_nodal_fields(body.solid, body.solid.space().expand(state.q[0]), crushed);
    crushed = fields.crushed;
    double now = 0.;
    for (std::size_t n = 0; n < body.solid.nodes().size(); ++n)
      if (const auto &node = body.solid.nodes()[n]; node.depth < 1e-9 && std::abs(node.station - span / 2.) < 2. * depth)
        for (const auto &[mode, note] : judge.indices_at(static_cast<int>(n), fields))
          if (mode.mode == (slope == 0. ? FailureMode::tension_along : FailureMode::slanting_grain))
            now = std::max(now, mode.index);
    const double share = now >= 1. ? (1. - index) / (now - index) : 1., force_now = std::abs(state.scalars[0]);
    result.strength = std::max(result.strength, (force + share * (force_now - force)) * span / 4. * 6. / std::pow(depth, 3));
    index = now;
    force = force_now;
    REQUIRE(deflection < 100. * step);
  }
  return result;
}

// Uniaxial strength by a criterion of homogeneous index [Pa], the grain at an angle to the pull; tension positive.
double off_axis_strength(double (*criterion)(const PlaneStress &, const PlaneStrengths &), const PlaneStrengths &strengths,
                         double angle, double sign)
{
  const double c = std::cos(angle), s = std::sin(angle);
  return 1. / criterion({sign * c * c, sign * s * s, -sign * c * s}, strengths);
}

double tsai_wu(const PlaneStress &stress, const PlaneStrengths &strengths)
{
  return tsai_wu_index(stress, strengths);
}
} // namespace

TEST_CASE("Sloping grain costs bending strength and stiffness as the tables have it", "[slow]")
{
  CheckTable table(
      "Bars of 2 x 2 in over 28 in with sloping grain, over those of straight grain",
      "modulus of rupture: Wood Handbook, strength by slope (from memory); modulus of elasticity: ANC-18 (1951) Table "
      "2-4. The verdict is Norris 1962 on the back of a bar whose belly yields");
  struct Row
  {
    double run, handbook, allowed_ash, allowed_spruce, anc;
  };
  // At 1 in 5 all of it hangs on strengths across the grain that scatter most.
  const Row rows[] = {{25., .96, .03, .06, 0.}, {20., .93, .03, .06, 0.},  {15., .89, .03, .06, 1.},
                      {12., 0., 0., 0., .97},   {10., .81, .03, .06, .91}, {5., .55, .10, .10, 0.}};
  for (const char *name : {"white-ash", "sitka-spruce"})
  {
    const Material &wood = library_materials().at(name);
    const bool ash = std::string(name) == "white-ash";
    const Bent straight = bend(wood, 0., true);
    for (const Row &row : rows)
    {
      const double slope = std::atan(1. / row.run);
      const Bent sloping = bend(wood, slope, true);
      const std::string which = std::string(name) + ", 1 in " + std::to_string(static_cast<int>(row.run));
      if (row.handbook > 0.)
        table.absolute(which + ": modulus of rupture [1]", sloping.strength / straight.strength, row.handbook,
                       ash ? row.allowed_ash : row.allowed_spruce);
      // Wider than the 3 % wished for: the table falls by .06 from 1 in 12 to 1 in 10, the off-axis modulus of these woods by
      // .016 and .028. No constants come within 3 % of both rows.
      if (row.anc > 0. && row.run < 15.)
        table.absolute(which + ": modulus of elasticity [1]", sloping.modulus / straight.modulus, row.anc, ash ? 0.04 : 0.06);
      else
        table.note(which + ": modulus of elasticity [1]", sloping.modulus / straight.modulus);
      if (row.run == 10.)
      {
        const Bent own = bend(wood, slope, false);
        table.relative(which + ": told as the lamination's, strength", own.strength, sloping.strength, 5e-3);
        table.relative(which + ": told as the lamination's, modulus", own.modulus, sloping.modulus, 1e-9);
      }
    }
  }
}

TEST_CASE("Sloping grain in plain tension and crushing", "[verification]")
{
  CheckTable table(
      "Strength along a bar whose grain slopes, over that of straight grain",
      "Hankinson 1921, exponent 2 to 2.5 for crushing, 1.5 to 2 for tension (Wood Handbook, from memory); tension at 1 "
      "in 12, 1 in 10: ANC-18 (1951) Table 2-4: .85, .75, design allowances");
  for (const char *name : {"white-ash", "sitka-spruce"})
  {
    const Material &wood = library_materials().at(name);
    const RingOrientation flat = RingOrientation::flat;
    const PlaneStrengths s{wood.strengths.tension_L, wood.strengths.compression_L, tension_through_thickness(wood, flat),
                           compression_through_thickness(wood, flat), shear_in_side_view(wood, flat)};
    for (const double run : {25., 20., 15., 12., 10., 5.})
    {
      const double angle = std::atan(1. / run);
      const std::string which = std::string(name) + ", 1 in " + std::to_string(static_cast<int>(run));
      const double crushing = off_axis_strength(norris_index, s, angle, -1.) / s.compression_1;
      table.at_least(which + ": crushing, Norris [1]", crushing,
                     hankinson(s.compression_1, s.compression_2, angle, 2.) / s.compression_1);
      table.at_most(which + ": crushing, Norris [1]", crushing,
                    hankinson(s.compression_1, s.compression_2, angle, 2.5) / s.compression_1);
      table.note(which + ": tension, Norris, the verdict [1]", off_axis_strength(norris_index, s, angle, 1.) / s.tension_1);
      table.note(which + ": tension, Tsai-Wu [1]", off_axis_strength(tsai_wu, s, angle, 1.) / s.tension_1);
      table.note(which + ": tension, Hankinson 1.5 [1]", hankinson(s.tension_1, s.tension_2, angle, 1.5) / s.tension_1);
      table.note(which + ": tension, Hankinson 2 [1]", hankinson(s.tension_1, s.tension_2, angle, 2.) / s.tension_1);
    }
  }
  // Sitka spruce with the strengths of a published example: Hankinson's own values.
  const double degree = pi / 180.;
  table.relative("Hankinson, 38.68 and 4 MPa, 10 degrees [Pa]", hankinson(38.68e6, 4e6, 10. * degree, 2.), 30.664e6, 1e-4);
  table.relative("Hankinson, 38.68 and 4 MPa, 30 degrees [Pa]", hankinson(38.68e6, 4e6, 30. * degree, 2.), 12.212e6, 1e-4);
}
