#pragma once

#include "solver/model/layered_solid.h"
#include "solver/results.h"

#include <vector>

namespace limbwright
{
/// What every end of an open patch would release, by virtual crack closure (Rybicki and Kanninen 1977, Engng
/// Fract. Mech. 9:931; quadratic elements: Raju 1987, Engng Fract. Mech. 28:251): forces of the first element that holds times
/// the separations of the last open one, half of it, over the area. What the separations rise by behind the edge is taken to the
/// length of the former by the square root of the lengths. At the edge itself glue of finite stiffness is apart too; short
/// elements come to the energy that it holds there, traction^2 / (2 stiffness) (the J-integral of a layer of springs, see
/// free_edges.h). Sound where the glue beyond the edge is still elastic.
/// Of a solid: at each end of a patch, and at the sides where it covers part of the width, the place of the front that releases
/// most; sliding along and across together.
/// Toughness and process zone are left to who knows the glue.
template <int dim>
std::vector<PatchEnd> energy_release(const LayeredSolid<dim> &solid, const Eigen::VectorXd &u);
} // namespace limbwright
