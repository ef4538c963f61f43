#include "solver/failure/indices.h"

#include "materials/law/failure_criteria.h"
#include "materials/law/wood_bending.h"

#include <algorithm>
#include <cmath>

namespace limbwright
{
HotSpot spot_of(LimbName limb, double station, const ModeIndex &mode, bool averaged)
{
  HotSpot spot;
  spot.limb = limb;
  spot.station = station;
  spot.mode = mode.mode;
  spot.index = mode.index;
  spot.value = mode.value;
  spot.limit = mode.limit;
  spot.averaged = averaged;
  return spot;
}

std::vector<ModeIndex> lamination_indices(const Material &material, RingOrientation ring, const Eigen::Vector3d &strain,
                                          const Eigen::Vector3d &stress, bool along_only)
{
  const Strengths &s = material.strengths;
  std::vector<ModeIndex> result;
  const auto add = [&](FailureMode mode, double value, double limit)
  {
    if (std::isfinite(limit))
      result.push_back({mode, value / limit, value, limit});
  };
  if (stress[0] >= 0.)
    add(FailureMode::tension_along, stress[0], s.tension_L);
  else
    add(FailureMode::compression_along, -stress[0], s.compression_L);
  if (material.kind == MaterialKind::wood && strain[0] < 0.)
  {
    const double E_L = material.constants.E_L;
    add(FailureMode::belly_set, -strain[0], s.compression_L / E_L);
    add(FailureMode::belly_crushing, -strain[0], crushing_strain(s.compression_L, s.tension_L, E_L));
  }
  if (along_only)
    return result;

  const double tension = tension_through_thickness(material, ring), compression = compression_through_thickness(material, ring),
               shear = shear_in_side_view(material, ring);
  if (stress[1] >= 0.)
    add(FailureMode::across_tension, stress[1], tension);
  else
    add(FailureMode::across_compression, -stress[1], compression);
  add(FailureMode::shear, std::abs(stress[2]), shear);
  const double interaction =
      tsai_wu_index({stress[0], stress[1], stress[2]}, {s.tension_L, s.compression_L, tension, compression, shear});
  if (std::isfinite(interaction))
    result.push_back({FailureMode::interaction, interaction, interaction, 1.});
  return result;
}

std::vector<ModeIndex> lamination_indices(const Material &material, RingOrientation ring,
                                          const Eigen::Matrix<double, 6, 1> &strain, const Eigen::Matrix<double, 6, 1> &stress,
                                          bool along_only)
{
  const auto in_plane = [&](RingOrientation direction, int across, int shear)
  {
    return lamination_indices(material, direction, Eigen::Vector3d(strain[0], strain[across], strain[shear]),
                              Eigen::Vector3d(stress[0], stress[across], stress[shear]), along_only);
  };
  std::vector<ModeIndex> result = in_plane(ring, 1, 5);
  if (along_only)
    return result;
  // What lies across the width takes the place of what lies through the thickness.
  const RingOrientation other = ring == RingOrientation::flat ? RingOrientation::edge : RingOrientation::flat;
  for (const ModeIndex &mode : in_plane(other, 2, 4))
  {
    const auto same = std::find_if(result.begin(), result.end(), [&](const ModeIndex &one) { return one.mode == mode.mode; });
    if (same == result.end())
      result.push_back(mode);
    else if (mode.index > same->index)
      *same = mode;
  }
  if (const double limit = material.strengths.shear_RT; std::isfinite(limit))
    result.push_back({FailureMode::rolling_shear, std::abs(stress[3]) / limit, std::abs(stress[3]), limit});
  return result;
}

std::vector<ModeIndex> glue_indices(const BondStrength &strength, double peel, double shear)
{
  std::vector<ModeIndex> result;
  const double opening = std::max(0., peel);
  result.push_back({FailureMode::glue_shear, std::abs(shear) / strength.shear, std::abs(shear), strength.shear});
  if (opening > 0.)
  {
    result.push_back({FailureMode::glue_peel, opening / strength.peel, opening, strength.peel});
    const double mixed = std::hypot(opening / strength.peel, shear / strength.shear);
    result.push_back({FailureMode::glue_mixed, mixed, mixed, 1.});
  }
  return result;
}
} // namespace limbwright
