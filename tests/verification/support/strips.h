#pragma once

#include "solver/failure/glue_traction.h"
#include "solver/failure/recovery.h"
#include "solver/stages/face_traction.h"
#include "support/exact_laminate.h"
#include "support/sampling.h"
#include "support/solid_mesh.h"

#include <map>
#include <string>
#include <utility>
#include <vector>

namespace limbwright::checks
{
/// A strip in plane strain, plies from the belly to the back.
struct LaminateStrip
{
  std::string name;
  std::map<std::string, Material> materials;
  std::vector<std::pair<std::string, double>> plies; // material, thickness [m]
  double span;                                       // [m] support to support
  GlueLineDescription glue;                          // in every line; thickness 0: a bond of its stiffness
  Adhesive adhesive;

  double stack() const
  {
    double sum = static_cast<double>(plies.size() - 1) * glue.thickness;
    for (const auto &[material, thickness] : plies)
      sum += thickness;
    return sum;
  }
};

inline Matrix3 stiffness_of(const LaminateStrip &strip, std::size_t ply)
{
  return plane_stiffness(strip.materials.at(strip.plies[ply].first).constants, RingOrientation::flat, PlaneState::strain);
}

inline ExactLaminate exact(const LaminateStrip &strip, double load)
{
  std::vector<ExactLaminate::Ply> plies;
  for (std::size_t i = 0; i < strip.plies.size(); ++i)
    plies.push_back({strip.plies[i].second, stiffness_of(strip, i)});
  ExactLaminate::Bond bond{0., strip.glue.bond_stiffness, strip.glue.bond_stiffness};
  if (const double t = strip.glue.thickness; t > 0.)
    bond = {t, strip.adhesive.youngs_modulus / t, strip.adhesive.shear_modulus / t};
  return {plies, std::vector<ExactLaminate::Bond>(plies.size() - 1, bond), pi / strip.span, load};
}

/// Half the strip, from a support to mid-span. Supports as in the exact solution: no deflection anywhere on the end face, which
/// is free to move along; at mid-span nothing moves along. One load so small that squares of strains do not show. Of a solid: one
/// strip of elements, as wide as the stack is thick, that cannot widen.
template <int dim>
struct HalfStripOf
{
  LaminateStrip strip;
  double load; //!< [Pa]
  BodyOf<dim> body;
  Eigen::VectorXd u;
  NodalFieldsOf<dim> fields;

  HalfStripOf(const LaminateStrip &description, double largest_load, int n_columns, int n_rows)
      : strip(description),
        load(largest_load),
        body(limb(strip), solid_mesh(limb(strip), n_columns, n_rows, 1, dim == 3), strip.materials, {{"glue", strip.adhesive}},
             PlaneState::strain, supports(strip))
  {
    NewtonSettings settings;
    settings.tolerance = 1e-6; // of a linear problem; stiff bonds round off more than soft ones
    Equilibrium equilibrium({&body.solid}, settings);
    const double span = strip.span;
    const Loads loads =
        face_traction(body.solid, true, [span, q = load](double s) { return Eigen::Vector2d(q * std::sin(pi * s / span), 0.); });
    u = body.solid.space().expand(raise_load(equilibrium, loads, 1).q[0]);
    fields = recover_nodal_fields(body.solid, u);
  }

  static LimbDescription limb(const LaminateStrip &strip)
  {
    LimbDescription bar = straight_bar(strip.span / 2., strip.stack(), dim == 2 ? 1. : strip.stack());
    bar.laminations.clear();
    for (const auto &[material, thickness] : strip.plies)
      bar.laminations.push_back(full_lamination(material, thickness, 0., strip.span / 2.));
    bar.glue.assign(strip.plies.size() - 1, strip.glue);
    return bar;
  }
  static Supports supports(const LaminateStrip &strip)
  {
    Supports result;
    result.sections = {{0., false, true, false}, {strip.span / 2., true, false, false}};
    result.plane_strain = dim == 3;
    return result;
  }

  int node(double station, std::size_t ply, double height) const
  {
    const double face = body.solid.shape().belly_face_depth(ply, station);
    return node_at(body.solid, station, face - height, static_cast<int>(ply));
  }
  double middle() const { return strip.span / 2.; }
  double deflection(std::size_t ply, double height) const { return u[dim * node(middle(), ply, height)]; }
  double along(std::size_t ply, double height) const { return fields.stress[node(middle(), ply, height)][0]; }
  double shear(std::size_t ply, double height) const { return fields.stress[node(0., ply, height)][LayeredSolid<dim>::shear_LN]; }
  double bond_shear(int line) const { return traction_at(line_tractions(body.solid, line, u, 1e-9), 0.).shear; }
  double bond_peel(int line) const { return traction_at(line_tractions(body.solid, line, u, 1e-9), middle()).peel; }
};
using HalfStrip = HalfStripOf<2>;

/// Pagano's plies: E_L 25, E_T 1, G_LT 0.5, G_TT 0.2 million psi, nu 0.25. "0": fibres along the span; "90": across the width.
inline std::map<std::string, Material> pagano_materials()
{
  constexpr double million_psi = 6.894757e9;
  Material along, across;
  along.constants = {25., 1., 1., 0.5, 0.5, 0.2, 0.25, 0.25, 0.25};
  across.constants = {1., 1., 25., 0.2, 0.5, 0.5, 0.25, 0.25 / 25., 0.25 / 25.};
  for (OrthotropicConstants *c : {&along.constants, &across.constants})
    for (double *modulus : {&c->E_L, &c->E_R, &c->E_T, &c->G_LR, &c->G_LT, &c->G_RT})
      *modulus *= million_psi;
  return {{"0", along}, {"90", across}};
}

inline LaminateStrip pagano_strip(const std::vector<std::string> &lay_up, double slenderness)
{
  LaminateStrip strip;
  strip.materials = pagano_materials();
  const double stack = 0.1;
  strip.name = "[";
  for (const std::string &ply : lay_up)
  {
    strip.plies.push_back({ply, stack / static_cast<double>(lay_up.size())});
    strip.name += (strip.name.size() > 1 ? "/" : "") + ply;
  }
  strip.name += "], S = " + std::to_string(static_cast<int>(slenderness));
  strip.span = slenderness * stack;
  // A bond 1000 times as stiff as a ply across the grain: 0.03 % of the deflection at most.
  strip.glue.bond_stiffness = 1000. * strip.materials.at("0").constants.E_R / strip.plies.front().second;
  return strip;
}
} // namespace limbwright::checks
