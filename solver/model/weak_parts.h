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

/// A strip of the width in a weak zone, with the law of what it is made of.
struct WeakPart
{
  WidthStrip strip;
  Matrix3 stiffness;                //!< [Pa] in the strip's own axes
  Matrix3 to_own;                   //!< strains from the lamination's axes to its own
  std::optional<CrushingLaw> crush; //!< when it yields
  int lamination = 0;
};

/// What lies across the width of a lamination at a place; nothing where it is clear wood alone.
std::vector<WeakPart> weak_parts(const LimbShape &shape, const std::map<std::string, Material> &materials, PlaneState plane,
                                 std::size_t lamination, double station, double depth);

/// The crushing law of a strip whose wood, along the grain, has this one: turned in the plan view it yields earlier as Hankinson
/// 1921 has it, exponent 2 (Wood Handbook: 2 to 2.5 in compression); what fills a knot, and a hole, do not yield.
std::optional<CrushingLaw> turned_law(const std::optional<CrushingLaw> &law, const WeakPart &part, const Material &material,
                                      RingOrientation ring, const WeakZones &zones);

/// Stress of a part under a strain in the lamination's axes, both in its own axes.
CrushedStress own_stress(const WeakPart &part, const Eigen::Vector3d &own_strain, double crushed_before);
} // namespace limbwright
