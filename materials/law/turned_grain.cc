#include "materials/law/turned_grain.h"

#include <Eigen/LU>

#include <cmath>

namespace limbwright
{
namespace
{
// From the strip's stresses (along, N, shear) to those of grain axes in the order LL RR TT RT LT LR.
Eigen::Matrix<double, 6, 3> to_grain(const RingOrientation ring, const double turn)
{
  const bool flat = ring == RingOrientation::flat;
  const int N = flat ? 1 : 2, W = flat ? 2 : 1, WN = 3, LW = flat ? 4 : 5, LN = flat ? 5 : 4;
  const double c = std::cos(turn), s = std::sin(turn);
  Eigen::Matrix<double, 6, 3> map = Eigen::Matrix<double, 6, 3>::Zero();
  map(0, 0) = c * c;
  map(W, 0) = s * s;
  map(LW, 0) = -c * s;
  map(N, 1) = 1.;
  map(LN, 2) = c;
  map(WN, 2) = -s;
  return map;
}
} // namespace

Matrix3 turned_plane_stiffness(const OrthotropicConstants &constants, const RingOrientation ring, const PlaneState state,
                               const double turn)
{
  if (turn == 0.)
    return plane_stiffness(constants, ring, state);
  Eigen::Matrix<double, 6, 3> map = to_grain(ring, turn);
  if (state == PlaneState::stress)
    return Matrix3((map.transpose() * compliance(constants) * map).inverse());
  map.row(ring == RingOrientation::flat ? 4 : 5) *= 2.; // engineering shear
  return map.transpose() * stiffness(constants) * map;
}

Matrix3 dive_strains(const double dive)
{
  const double c = std::cos(dive), s = std::sin(dive);
  Matrix3 turn;
  turn << c * c, s * s, c * s, s * s, c * c, -c * s, -2. * c * s, 2. * c * s, c * c - s * s;
  return turn;
}

GrainStress grain_stress(const Eigen::Vector3d &strip, const double turn)
{
  const double c = std::cos(turn), s = std::sin(turn);
  return {c * c * strip[0], strip[1], s * s * strip[0], c * strip[2], -c * s * strip[0], -s * strip[2]};
}
} // namespace limbwright
