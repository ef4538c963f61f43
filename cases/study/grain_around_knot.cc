#include "cases/study/grain_around_knot.h"

#include "cases/report/output_units.h"
#include "cases/study/defect_bounds.h"
#include "meshing/shape/weak_zones.h"
#include "solver/failure/indices.h"

#include <algorithm>
#include <cmath>

namespace limbwright
{
double index_around_knot(const Material &wood, RingOrientation ring, const std::optional<CrushingLaw> &law, const FaceState &face)
{
  // The strain that all strips share; through the thickness and in shear the one that clear wood has there.
  const Matrix3 clear = plane_stiffness(wood.constants, ring, PlaneState::stress);
  const double elastic_along = face.strain_along + face.crushed;
  const Eigen::Vector3d strain(face.strain_along, (face.stress_across - clear(1, 0) * elastic_along) / clear(1, 1),
                               face.stress_shear / clear(2, 2));
  double worst = 0.;
  constexpr int step = 2; // [degrees] the index is flat about its greatest: met within a hundredth
  for (int degrees = 0; degrees <= 90; degrees += step)
  {
    WeakPart part;
    part.strip.grain.turn = degrees * degree;
    part.stiffness = turned_plane_stiffness(wood.constants, ring, PlaneState::stress, part.strip.grain.turn);
    part.crush = turned_law(law, part, wood, ring, {});
    const Eigen::Vector3d stress = own_stress(part, strain, 0.).stress;
    for (const ModeIndex &mode : weak_indices(wood, ring, part, nullptr, strain, stress))
      if (told_to_people(wood, face.face, mode.mode))
        worst = std::max(worst, mode.index);
  }
  return worst;
}

double stiffness_taken(const OrthotropicConstants &wood, RingOrientation ring, double width_share)
{
  if (width_share <= 0.)
    return 0.;
  const bool flat = ring == RingOrientation::flat;
  const auto modulus = [&](double turn)
  {
    return flat ? off_axis_modulus(wood.E_L, wood.E_T, wood.G_LT, wood.nu_LT, turn)
                : off_axis_modulus(wood.E_L, wood.E_R, wood.G_LR, wood.nu_LR, turn);
  };
  WeakZones zones; // in a lamination one wide
  Knot hole;
  hole.diameter = width_share;
  hole.state = KnotState::hole;
  zones.knots = {hole};
  double most = 0.;
  // Before the hole it is as behind it; beyond one and a half of its size the grain is all but straight.
  for (int i = 0; i <= 24; ++i)
  {
    double left = 0.;
    for (const WidthStrip &strip : width_strips(zones, 0, i / 16. * width_share, 0., {1., 1.}))
      if (strip.knot < 0)
        left += strip.share * modulus(strip.grain.turn) / wood.E_L;
    most = std::max(most, 1. - left);
  }
  return most;
}
} // namespace limbwright
