#pragma once

#include "materials/law/orthotropic.h"

namespace limbwright
{
// Wood whose grain does not run along the side view's axes: dived (turned in the side view) and turned (in the plan view). A
// strip of the width bears what a bar does: beyond the side view's own stresses it is free.

/// Stiffness in the side view [Pa], order along the strip, N, shear, of wood turned by an angle [rad] in the plan view; with no
/// angle that of plane_stiffness(). Plane stress: no stress across the width and none on its planes; plane strain: no strain.
Matrix3 turned_plane_stiffness(const OrthotropicConstants &constants, RingOrientation ring, PlaneState state, double turn);

/// Takes strains (order L, N, engineering shear) of axes to those of axes turned by `dive` [rad], L toward N. Its transpose takes
/// stresses back.
Matrix3 dive_strains(double dive);

/// Stresses in grain axes: L along the grain, N through the thickness of the strip, W the third. [Pa]
struct GrainStress
{
  double L, N, W, LN, LW, WN;
};

/// Those of a strip turned by `turn` in the plan view, from its own (order along it, N, shear) [Pa].
GrainStress grain_stress(const Eigen::Vector3d &strip, double turn = 0.);
/// Those of a solid, from its own (order L, N, W, NW, LW, LN) [Pa].
inline GrainStress grain_stress(const Eigen::Matrix<double, 6, 1> &solid)
{
  return {solid[0], solid[1], solid[2], solid[5], solid[4], solid[3]};
}
} // namespace limbwright
