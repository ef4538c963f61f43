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
  if (!weak_at(limb.weak, shape.first_piece(lamination), station))
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

namespace
{
using Strain6 = Eigen::Matrix<double, 6, 1>;

// Engineering strains of a solid as a tensor, and back.
Matrix3 tensor_of_strain(const Strain6 &e)
{
  Matrix3 tensor;
  tensor << e[0], 0.5 * e[5], 0.5 * e[4], 0.5 * e[5], e[1], 0.5 * e[3], 0.5 * e[4], 0.5 * e[3], e[2];
  return tensor;
}

Strain6 strain_of_tensor(const Matrix3 &t)
{
  return {t(0, 0), t(1, 1), t(2, 2), 2. * t(1, 2), 2. * t(0, 2), 2. * t(0, 1)};
}

// Strains from a lamination's axes L, N, W (W along z) to those of grain that is turned in the plan view and then dives.
Matrix6 turned_strains(const GrainTurn &grain)
{
  const double cd = std::cos(grain.dive), sd = std::sin(grain.dive), ct = std::cos(grain.turn), st = std::sin(grain.turn);
  Matrix3 own; // columns: the grain's axes
  own << cd * ct, -sd * ct, -st, sd, cd, 0., cd * st, -sd * st, ct;
  Matrix6 result;
  for (int k = 0; k < 6; ++k)
    result.col(k) = strain_of_tensor(own.transpose() * tensor_of_strain(Strain6::Unit(k)) * own);
  return result;
}
} // namespace

std::optional<WeakPartOf<3>> weak_part_in_space(const LimbShape &shape, const std::map<std::string, Material> &materials,
                                                const std::size_t lamination, const double station, const double depth,
                                                const double z)
{
  const LimbDescription &limb = shape.description();
  if (!weak_at(limb.weak, shape.first_piece(lamination), station))
    return std::nullopt;
  WeakPartOf<3> part;
  part.lamination = static_cast<int>(lamination);
  part.strip.across = z;
  part.strip.knot = shape.knot_at(lamination, station, depth, part.strip.across);
  part.strip.grain = shape.grain_turn(lamination, station, depth, part.strip.across);
  if (part.strip.knot < 0 && part.strip.grain.none())
    return std::nullopt;
  const LaminationDescription &layer = limb.laminations[lamination];
  part.to_own = turned_strains(part.strip.grain);
  part.stiffness = solid_stiffness(materials.at(layer.material).constants, layer.ring);
  if (part.strip.knot < 0)
    return part;
  const Knot &knot = limb.weak.knots[static_cast<std::size_t>(part.strip.knot)];
  if (knot.state == KnotState::filled)
  {
    const double E = knot.filling_modulus, nu = filling_poisson, G = E / (2. * (1. + nu));
    part.stiffness = solid_stiffness({E, E, E, G, G, G, nu, nu, nu}, RingOrientation::flat);
  }
  else if (knot.state != KnotState::sound)
    part.stiffness *= void_stiffness;
  return part;
}

template <int dim>
std::optional<CrushingLaw> turned_law(const std::optional<CrushingLaw> &law, const WeakPartOf<dim> &part,
                                      const Material &material, const RingOrientation ring, const WeakZones &zones)
{
  if (!law || (part.strip.knot >= 0 && zones.knots[static_cast<std::size_t>(part.strip.knot)].state != KnotState::sound))
    return std::nullopt;
  const double turn = std::abs(part.strip.grain.turn);
  if (dim == 3 || turn == 0.)
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

template std::optional<CrushingLaw> turned_law(const std::optional<CrushingLaw> &, const WeakPartOf<2> &, const Material &,
                                               RingOrientation, const WeakZones &);
template std::optional<CrushingLaw> turned_law(const std::optional<CrushingLaw> &, const WeakPartOf<3> &, const Material &,
                                               RingOrientation, const WeakZones &);
} // namespace limbwright
