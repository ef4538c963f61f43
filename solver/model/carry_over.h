#pragma once

#include "solver/model/layered_solid.h"

namespace limbwright
{
/// Displacement of a solid limb, by node, from that of its side view u [m]: every node goes as the one of the same lamination,
/// station and depth, and the section widens and bends across as plane stress has it (strain across the width from the strains in
/// the side view; anticlastic bending). Both meshes have the same columns and rows. A first guess for Newton's method.
/// Throws std::logic_error where the meshes do not fit.
Eigen::VectorXd solid_displacement(const LayeredSolid<2> &side_view, const Eigen::VectorXd &u, const LayeredSolid<3> &solid);

/// Displacement of a limb, by node, from that of another limb u [m] on whose mesh its own lies, moved: every node goes as the
/// same one there, and by what it lies deeper than that one as the section turns. A first guess for Newton's method. Throws
/// std::logic_error where the meshes do not fit.
Eigen::VectorXd moved_displacement(const LayeredSolid<2> &from, const Eigen::VectorXd &u, const LayeredSolid<2> &to);
} // namespace limbwright
