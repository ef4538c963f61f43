#pragma once

#include "solver/stages/draw_path.h"
#include "support/bodies.h"

#include <cmath>
#include <limits>

namespace limbwright::checks
{
inline constexpr double handle = 0.1016, flexible = 0.8128, brace_height = 0.1524, full_draw = 0.7112; // [m] along the axis

/// A bow of slender limbs as an elastica describes it, lengths along the axis.
struct ElasticaBow
{
  StationTable bending_stiffness; // [N m2] over the part of the flexible length, 0 at the root, 1 at the tip
  double root_lean = 0.;          // [rad] toward the target
  double curvature = 0.;          // [1/m] of the unstrung axis, positive where the lean toward the target grows
  double string_stiffness = std::numeric_limits<double>::infinity(); // [N]
  double thickness = 14e-3;                                          // [m] of the solid

  // So that the widths are those of a usual wooden limb, whatever the thickness. [Pa]
  double youngs_modulus() const { return 12e9 * std::pow(14e-3 / thickness, 3); }
  double width(double xi) const { return 12. * bending_stiffness.at(xi) / (youngs_modulus() * std::pow(thickness, 3)); }
};

/// The same as a solid. The axis lies at mid-depth: half a thickness from the back, which is shorter than the axis
/// where the limb is reflexed.
inline BowDescription describe(const ElasticaBow &elastica)
{
  BowDescription bow;
  const double turn = elastica.curvature * flexible, half = elastica.thickness / 2.;
  const double length = flexible - half * turn;
  LimbDescription &limb = bow.upper;
  limb.root_station = handle;
  limb.tip_station = handle + length;
  limb.root_back_x = half * std::cos(elastica.root_lean);
  limb.root_back_y = handle - half * std::sin(elastica.root_lean);
  limb.profile.lean = {{limb.root_station, limb.tip_station}, {elastica.root_lean, elastica.root_lean + turn}};
  for (const double xi : elastica.bending_stiffness.station)
  {
    limb.width.station.push_back(handle + xi * length);
    limb.width.value.push_back(elastica.width(xi));
  }
  limb.laminations = {full_lamination("elastic", elastica.thickness, limb.root_station, limb.tip_station)};
  limb.nock = {limb.tip_station, 0.5};
  bow.materials["elastic"] = elastic_material(elastica.youngs_modulus(), elastica.youngs_modulus() / 2.);
  bow.string.stiffness = elastica.string_stiffness;
  bow.brace_height = brace_height;
  bow.full_draw = full_draw;
  return bow;
}

/// Falls linearly to nothing at the tip; a solid needs some width, and 0.2 mm of it in the last 0.5 % of the limb does not show.
inline ElasticaBow straight_tapered()
{
  ElasticaBow bow{{{0., 1.}, {110., 0.}}};
  const double least = 0.2e-3 / bow.width(0.);
  bow.bending_stiffness = {{0., 1. - least, 1.}, {110., 110. * least, 110. * least}};
  return bow;
}

/// A bow meshed, strung and drawn; REQUIREs that full draw is reached.
struct DrawnBow
{
  BowDescription bow;
  LimbMesh<2> mesh;
  BowPath path;
  DrawPath drawn;

  DrawnBow(const BowDescription &description, int n_columns, int n_rows, int draw_steps)
      : bow(description),
        mesh(LimbShape(bow.upper), even_mesh(bow.upper, n_columns, n_rows)),
        path(mesh, bow, settings(draw_steps)),
        drawn(path.run({}, nullptr))
  {
    INFO(drawn.failed_stage << ": " << drawn.reason);
    REQUIRE(drawn.complete);
  }

  static SolveSettings settings(int draw_steps)
  {
    SolveSettings solve;
    solve.draw_steps = draw_steps;
    return solve;
  }
  const PathStep &braced() const { return drawn.steps[1]; }
  const PathStep &full() const { return drawn.steps.back(); }
};
} // namespace limbwright::checks
