#pragma once

#include "meshing/mesh/limb_mesh.h"
#include "solver/stages/loads.h"

#include <catch2/catch.hpp>

#include <map>
#include <string>

namespace limbwright::checks
{
inline constexpr double pi = 3.14159265358979323846;

/// Elastic constants alike in all directions [Pa, 1]; with nu = 0 and shear_modulus = E/2 it is the isotropic solid of beam
/// theory.
inline Material elastic_material(double youngs_modulus, double shear_modulus, double nu = 0.)
{
  Material material;
  material.name = "elastic";
  const double E = youngs_modulus, G = shear_modulus;
  material.constants = {E, E, E, G, G, G, nu, nu, nu};
  return material;
}

/// A lamination over the whole limb [m].
inline LaminationDescription full_lamination(const std::string &material, double thickness, double root_station,
                                             double tip_station)
{
  LaminationDescription lamination;
  lamination.name = lamination.material = material;
  lamination.thickness = StationTable::constant(thickness);
  lamination.start = root_station;
  lamination.end = tip_station;
  return lamination;
}

/// A straight bar of one lamination named "elastic", its root at station 0, along y, its back toward plus x, its mid-depth at
/// x = 0. [m]
inline LimbDescription straight_bar(double length, double thickness, double width)
{
  LimbDescription bar;
  bar.tip_station = length;
  bar.root_back_x = thickness / 2.;
  bar.profile.lean = StationTable::constant(0.);
  bar.width = StationTable::constant(width);
  bar.laminations = {full_lamination("elastic", thickness, 0., length)};
  bar.nock = {length, 0.5};
  return bar;
}

/// Equal columns, equal rows in every lamination.
inline MeshSettings even_mesh(const LimbDescription &limb, int n_columns, int n_rows)
{
  MeshSettings settings;
  settings.column_length = (limb.tip_station - limb.root_station) / n_columns;
  settings.rows_per_lamination = n_rows;
  settings.end_refinement = 0.;
  return settings;
}

/// A mesh and the solid on it, clamped at the root as a limb is unless supports are given.
template <int dim>
struct BodyOf
{
  LimbMesh<dim> mesh;
  LayeredSolid<dim> solid;

  BodyOf(const LimbDescription &limb, const MeshSettings &settings, const std::map<std::string, Material> &materials,
         const std::map<std::string, Adhesive> &adhesives = {}, PlaneState plane = PlaneState::stress)
      : BodyOf(limb, settings, materials, adhesives, plane, Supports::clamp(limb.root_station))
  {
  }
  BodyOf(const LimbDescription &limb, const MeshSettings &settings, const std::map<std::string, Material> &materials,
         const std::map<std::string, Adhesive> &adhesives, PlaneState plane, const Supports &supports)
      : mesh(LimbShape(limb), settings), solid(mesh, materials, adhesives, plane, supports)
  {
  }
};
using Body = BodyOf<2>; //!< side view
using SolidBody = BodyOf<3>;

/// Raises the load from nothing to the parameter 1 in equal steps, each step started along the last tangent. REQUIREs that every
/// step converges. State of the last step; *iterations: of all steps together.
inline State raise_load(Equilibrium &equilibrium, const Loads &loads, int n_steps, int n_scalars = 0, int *iterations = nullptr)
{
  State state = equilibrium.zero(n_scalars);
  for (int step = 1; step <= n_steps; ++step)
  {
    const double from = (step - 1.) / n_steps, to = static_cast<double>(step) / n_steps;
    State trial = step == 1 ? state : state + equilibrium.rate(state, from, loads) * (to - from);
    const NewtonResult result = equilibrium.solve(trial, state, to, loads);
    INFO("step " << step << " of " << n_steps << ": " << result.reason);
    REQUIRE(result.converged);
    if (iterations != nullptr)
      *iterations += result.iterations;
    state = trial;
  }
  return state;
}
} // namespace limbwright::checks
