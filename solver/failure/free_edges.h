#pragma once

#include "solver/model/layered_solid.h"
#include "solver/results.h"

#include <vector>

namespace limbwright
{
/// What glue would release if it began to part from its own free edges: where a lamination ends, and at the sides of a solid. In
/// elasticity the stresses are singular there; a glue line, a layer of springs of finite stiffness, bears a finite traction at
/// its edge, and the energy it holds there per area is what is set free when the edge goes back by a little: the J-integral of a
/// layer of springs (Rice 1968, J. Appl. Mech. 35:379; Krenk 1992, Engng Fract. Mech. 43:549, both from memory),
///   G_I = peel^2 / (2 k_n) where it opens,   G_II = (shear^2 + shear_across^2) / (2 k_s)
/// per reference area, of sliding the parts along and across together. It is the energy at the start: a crack that has begun
/// comes to more, by what the layer's own end or edge face holds. At the end of a 2 mm layer on 10 mm of wood the start is 96 %
/// of what beams say of a long crack, at the side of glass on wood on glass a seventh of what plates say, 4 J/m2 at a strain of 1
/// % (tests/verification/glue_edges.cc).
///
/// Convergence, there: at the end, with columns of 0.8, 0.4, 0.2, 0.1 mm (0.4 to 0.05 of the layer) 80, 90, 97, 99 % of the
/// value. At the side strips of half the thinner layer suffice, but rows count: it falls by a fifth each time they
/// are halved, for stiff glue changes its traction there over a tenth of a millimetre. A figure to compare by.
///
/// Told of lines with a layer of glue that holds and cannot part: a split's bond of no thickness has no energy of its own, and
/// glue told to part shows by itself whether it does. Ends: for each line the place across the width that releases most. Sides:
/// every station, where the outermost strip of elements is no wider than the thinner lamination beside the line is thick; in
/// wider ones the traction near the edge is a mean (MeshSettings::edge_refinement). Toughness and process zone are left to who
/// knows the glue.
template <int dim>
std::vector<PatchEnd> free_edges(const LayeredSolid<dim> &solid, const Eigen::VectorXd &u);
} // namespace limbwright
