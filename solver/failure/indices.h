#pragma once

#include "materials/bond_strength.h"
#include "solver/model/weak_parts.h"
#include "solver/results.h"

#include <Eigen/Core>

#include <vector>

namespace limbwright
{
/// One way to fail at one point.
struct ModeIndex
{
  FailureMode mode;
  double index; //!< [1] fails at one
  double value; //!< [Pa] stress; for the belly indices the compressive strain [1]
  double limit; //!< [Pa] strength; for the belly indices a strain [1]
};

/// A place in a mode of failure.
HotSpot spot_of(LimbName limb, double station, const ModeIndex &mode, bool averaged);

/// The indices of a lamination at a point in plane strain and stress of its grain axes (order L, N, LN). A mode whose strength
/// the material does not give is left out, and so is a mode that the sign of the stress rules out. Modes by maximum stress
/// (Jenkin 1920), one interactive criterion (Tsai and Wu 1971, F12 = -sqrt(F11 F22)/2), and for wood in compression the two belly
/// indices of materials/law/wood_bending.h. along_only: the modes along the grain alone, for values from a section fit.
std::vector<ModeIndex> lamination_indices(const Material &material, RingOrientation ring, const Eigen::Vector3d &strain,
                                          const Eigen::Vector3d &stress, bool along_only);

/// The same in a solid (order L, N, W, NW, LW, LN): across the grain and in shear the worse of the two planes along the grain,
/// L-N and L-W, and rolling shear in the plane across it.
std::vector<ModeIndex> lamination_indices(const Material &material, RingOrientation ring,
                                          const Eigen::Matrix<double, 6, 1> &strain, const Eigen::Matrix<double, 6, 1> &stress,
                                          bool along_only);

/// What wood whose grain slants against its lamination adds to lamination_indices() in tension along the grain, from stress in
/// grain axes: splinter, quadratic in opening and shear of the worse of its two planes along the grain; slanting_grain, Norris
/// 1962 (FPL 1816) in both planes. The verdict is slanting_grain's: where the pull along the grain takes more of its strength
/// than the pull across, it is never the less.
std::vector<ModeIndex> slanting_indices(const Material &material, RingOrientation ring, const GrainStress &stress);

/// All indices of a strip in a weak zone, strain and stress in its own axes. knot: that it belongs to, null: wood.
std::vector<ModeIndex> weak_indices(const Material &material, RingOrientation ring, const WeakPart &part, const Knot *knot,
                                    const Eigen::Vector3d &strain, const Eigen::Vector3d &stress);
/// The same of a place in a solid.
std::vector<ModeIndex> weak_indices(const Material &material, RingOrientation ring, const WeakPartOf<3> &part, const Knot *knot,
                                    const Eigen::Matrix<double, 6, 1> &strain, const Eigen::Matrix<double, 6, 1> &stress);

/// The indices of a glue line: shear, peel where it opens, both together (quadratic; Brewer and Lagace 1988).
std::vector<ModeIndex> glue_indices(const BondStrength &strength, double peel, double shear);
} // namespace limbwright
