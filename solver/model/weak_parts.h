#pragma once

#include "materials/law/crushing.h"
#include "materials/law/turned_grain.h"
#include "materials/material.h"
#include "meshing/shape/limb_shape.h"

#include <map>
#include <optional>
#include <string>
#include <vector>

namespace limbwright
{
/// Stiffness of a hole or a loose knot over that of the wood around it [1]: next to nothing, so that the elements there hold
/// their shape.
inline constexpr double void_stiffness = 1e-4;
/// Poisson's ratio of what fills a knot [1]. Judgement, no source: glue and wood dust.
inline constexpr double filling_poisson = 0.3;

/// A strip of the width in a weak zone, or a place of a solid there (a strip that is all of the width), with the law of what it
/// is made of. Strains in the order of LayeredSolid.
template <int dim>
struct WeakPartOf
{
  static constexpr int n_strains = dim * (dim + 1) / 2;
  using Strain = Eigen::Matrix<double, n_strains, 1>;
  using Square = Eigen::Matrix<double, n_strains, n_strains>;

  WidthStrip strip;
  Square stiffness;                 //!< [Pa] in its own axes
  Square to_own;                    //!< strains from the lamination's axes to its own
  std::optional<CrushingLaw> crush; //!< when it yields
  int lamination = 0;
};
using WeakPart = WeakPartOf<2>; //!< of the side view

/// What lies across the width of a lamination at a place; nothing where it is clear wood alone.
std::vector<WeakPart> weak_parts(const LimbShape &shape, const std::map<std::string, Material> &materials, PlaneState plane,
                                 std::size_t lamination, double station, double depth);

/// What lies at a place in a solid, z [m]; nothing where it is clear wood.
std::optional<WeakPartOf<3>> weak_part_in_space(const LimbShape &shape, const std::map<std::string, Material> &materials,
                                                std::size_t lamination, double station, double depth, double z);

/// The crushing law of a strip whose wood, along the grain, has this one: turned in the plan view it yields earlier as Hankinson
/// 1921 has it, exponent 2 (Wood Handbook: 2 to 2.5 in compression); what fills a knot, and a hole, do not yield. A place in a
/// solid has its grain's own axes, and the law as it is.
template <int dim>
std::optional<CrushingLaw> turned_law(const std::optional<CrushingLaw> &law, const WeakPartOf<dim> &part,
                                      const Material &material, RingOrientation ring, const WeakZones &zones);

/// Stress of a part under a strain, both in its own axes.
template <int dim>
CrushedStress<WeakPartOf<dim>::n_strains> own_stress(const WeakPartOf<dim> &part,
                                                     const typename WeakPartOf<dim>::Strain &own_strain, double crushed_before)
{
  if (part.crush)
    return limbwright::crush<WeakPartOf<dim>::n_strains>(*part.crush, part.stiffness, own_strain, crushed_before);
  return {part.stiffness * own_strain, part.stiffness, 0.};
}
} // namespace limbwright
