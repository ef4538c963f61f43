#include "solver/model/weak_parts.h"

#include "materials/law/turned_grain.h"
#include "materials/law/wood_bending.h"

#include <cmath>

namespace limbwright
{
namespace
{
Matrix3 isotropic(const double E, const double nu, const PlaneState plane)
{
  const double G = E / (2. * (1. + nu));
  return plane_stiffness({E, E, E, G, G, G, nu, nu, nu}, RingOrientation::flat, plane);
}
} // namespace

std::vector<WeakPart> weak_parts(const LimbShape &shape, const std::map<std::string, Material> &materials, const PlaneState plane,
                                 const std::size_t lamination, const double station, const double depth)
{
  std::vector<WeakPart> parts;
  const LimbDescription &limb = shape.description();
  if (!weak_at(limb.weak, lamination, station))
    return parts;
  const LaminationDescription &layer = limb.laminations[lamination];
  const OrthotropicConstants &wood = materials.at(layer.material).constants;
  for (const WidthStrip &strip : shape.strips(lamination, station, depth))
  {
    WeakPart part;
    part.strip = strip;
    part.lamination = static_cast<int>(lamination);
    part.to_own = dive_strains(strip.grain.dive);
    const Knot *knot = strip.knot >= 0 ? &limb.weak.knots[static_cast<std::size_t>(strip.knot)] : nullptr;
    if (knot != nullptr && knot->state == KnotState::filled)
      part.stiffness = isotropic(knot->filling_modulus, filling_poisson, plane);
    else
    {
      part.stiffness = turned_plane_stiffness(wood, layer.ring, plane, strip.grain.turn);
      if (knot != nullptr && knot->state != KnotState::sound)
        part.stiffness *= void_stiffness;
    }
    parts.push_back(part);
  }
  return parts;
}

std::optional<CrushingLaw> turned_law(const std::optional<CrushingLaw> &law, const WeakPart &part, const Material &material,
                                      const RingOrientation ring, const WeakZones &zones)
{
  if (!law || (part.strip.knot >= 0 && zones.knots[static_cast<std::size_t>(part.strip.knot)].state != KnotState::sound))
    return std::nullopt;
  const double turn = std::abs(part.strip.grain.turn);
  if (turn == 0.)
    return law;
  const double across = ring == RingOrientation::flat ? material.strengths.compression_T : material.strengths.compression_R;
  if (std::isnan(across))
    return law;
  CrushingLaw turned = *law;
  const double share = hankinson(law->strength, across, turn, 2.) / law->strength;
  turned.yield *= share;
  turned.strength *= share;
  turned.falling = 0.; // nothing is known of it across the grain
  return turned;
}

CrushedStress own_stress(const WeakPart &part, const Eigen::Vector3d &own_strain, const double crushed_before)
{
  if (part.crush)
    return crush(*part.crush, part.stiffness, own_strain, crushed_before);
  return {part.stiffness * own_strain, part.stiffness, 0.};
}
} // namespace limbwright
