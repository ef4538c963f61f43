#pragma once

#include "solver/model/layered_solid.h"

#include <vector>

namespace limbwright
{
/// The energy that the edge of an open patch of glue would release if it grew, per area [J/m2].
struct EnergyRelease
{
  int line = 0;
  double station = 0.;     //!< [m] of the edge
  bool toward_tip = false; //!< it would grow toward the tip
  double opening = 0.;     //!< [J/m2] G_I; none where the faces press on each other
  double sliding = 0.;     //!< [J/m2] G_II
  double total() const { return opening + sliding; }
  double sliding_share() const { return total() > 0. ? sliding / total() : 0.; } //!< [1]
};

/// At every edge of an open patch with glue that holds beyond it, by virtual crack closure (Rybicki and Kanninen 1977, Engng
/// Fract. Mech. 9:931; quadratic elements: Raju 1987, Engng Fract. Mech. 28:251): forces of the first element that holds times
/// the separations of the last open one, half of it, over the area; separations taken to the length of the former by the square
/// root of the lengths. Sound where the glue beyond the edge is still elastic.
std::vector<EnergyRelease> energy_release(const LayeredSolid<2> &solid, const Eigen::VectorXd &u);
} // namespace limbwright
