#include "solver/failure/indices.h"

#include "materials/law/failure_criteria.h"

#include <algorithm>
#include <cmath>

namespace limbwright
{
namespace
{
/// Strengths in the two planes that hold the grain: with the thickness, and with the width.
struct GrainPlanes
{
  PlaneStrengths thickness, width;
};

GrainPlanes grain_planes(const Material &material, RingOrientation ring)
{
  const RingOrientation other = ring == RingOrientation::flat ? RingOrientation::edge : RingOrientation::flat;
  const auto plane = [&](RingOrientation way)
  {
    return PlaneStrengths{material.strengths.tension_L, material.strengths.compression_L,
                          tension_through_thickness(material, way), compression_through_thickness(material, way),
                          shear_in_side_view(material, way)};
  };
  return {plane(ring), plane(other)};
}

double opened(double across, double shear, const PlaneStrengths &strengths)
{
  return std::hypot(std::max(0., across) / strengths.tension_2, shear / strengths.shear_12);
}

constexpr double straight = 1e-3; // [rad] grain that slants less is straight
} // namespace

namespace
{
// Of a knot: what fills it pulled apart along the limb, a sound one across its own grain, which runs along the branch.
std::vector<ModeIndex> knot_indices(const Material &material, RingOrientation ring, const Knot &knot, double along,
                                    const GrainStress &grain)
{
  std::vector<ModeIndex> result;
  const auto add = [&](double value, double limit)
  {
    if (limit > 0. && value > 0.)
      result.push_back({FailureMode::knot_cracks, value / limit, value, limit});
  };
  if (knot.state == KnotState::filled)
    add(along, knot.filling_strength);
  if (knot.state == KnotState::sound)
    add(knot.direction == KnotDirection::through ? grain.N : grain.W,
        tension_through_thickness(material, (ring == RingOrientation::flat) == (knot.direction == KnotDirection::through)
                                                ? RingOrientation::flat
                                                : RingOrientation::edge));
  return result;
}
} // namespace

std::vector<ModeIndex> slanting_indices(const Material &material, RingOrientation ring, const GrainStress &s)
{
  std::vector<ModeIndex> result;
  const GrainPlanes planes = grain_planes(material, ring);
  const auto add = [&](FailureMode mode, double index)
  {
    if (std::isfinite(index))
      result.push_back({mode, index, index, 1.});
  };
  add(FailureMode::splinter, std::max(opened(s.N, s.LN, planes.thickness), opened(s.W, s.LW, planes.width)));
  if (s.L >= 0.)
    add(FailureMode::slanting_grain,
        std::max(norris_index({s.L, s.N, s.LN}, planes.thickness), norris_index({s.L, s.W, s.LW}, planes.width)));
  return result;
}

std::vector<ModeIndex> weak_indices(const Material &material, RingOrientation ring, const WeakPart &part, const Knot *knot,
                                    const Eigen::Vector3d &strain, const Eigen::Vector3d &stress)
{
  const GrainStress grain = grain_stress(stress, part.strip.grain.turn);
  if (knot != nullptr)
    return knot_indices(material, ring, *knot, stress[0], grain);
  // The belly's indices count strain along the limb's fibres; turned aside a strip is strained by the cosine's square of it.
  const double c = std::cos(part.strip.grain.turn);
  std::vector<ModeIndex> result = lamination_indices(material, ring, Eigen::Vector3d(c * c * strain[0], strain[1], c * strain[2]),
                                                     Eigen::Vector3d(grain.L, grain.N, grain.LN), false);
  if (part.strip.grain.angle() > straight)
    for (const ModeIndex &mode : slanting_indices(material, ring, grain))
      result.push_back(mode);
  return result;
}

std::vector<ModeIndex> weak_indices(const Material &material, RingOrientation ring, const WeakPartOf<3> &part, const Knot *knot,
                                    const Eigen::Matrix<double, 6, 1> &strain, const Eigen::Matrix<double, 6, 1> &stress)
{
  // Its axes are the grain's own: nothing is left to turn.
  const GrainStress grain = grain_stress(stress);
  if (knot != nullptr)
    return knot_indices(material, ring, *knot, stress[0], grain);
  std::vector<ModeIndex> result = lamination_indices(material, ring, strain, stress, false);
  if (part.strip.grain.angle() > straight)
    for (const ModeIndex &mode : slanting_indices(material, ring, grain))
      result.push_back(mode);
  return result;
}
} // namespace limbwright
