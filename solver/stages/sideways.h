#pragma once

#include "solver/stages/equilibrium.h"

#include <optional>

namespace limbwright
{
/// The way in which bodies that bear stress would give way first.
struct CriticalMode
{
  double factor = 0.; //!< [1] what the stresses, and the first n_tensions scalars, would have to be multiplied by in the shape at
                      //!< hand; below one the state does not stand
  State way;          //!< displacements and scalars of that mode, its size without meaning
};

/// The smallest positive factor of the stresses at which the tangent at an equilibrium becomes singular: with K the tangent, G
/// what the stresses take from it and K + G the tangent without them, (K + G - factor G) way = 0 (linear buckling about the
/// deformed state; Bathe 1996, sec. 6.8.2). Found as the largest eigenvalue 1/(factor - 1) of K^-1 G by Arnoldi's method. Nothing
/// where no factor below `most` was found, or K is singular.
/// What is left in the solvers is the tangent at the state, for Equilibrium::response().
std::optional<CriticalMode> critical_mode(Equilibrium &equilibrium, const State &state, double parameter, const Loads &loads,
                                          int n_tensions, double most = 1e3);

/// [N/m] Force across the limb at a station and depth [m] over how far that point moves sideways, by the tangent linearise()
/// kept. Of a solid of the whole width.
double sideways_stiffness(const Equilibrium &equilibrium, std::size_t solid, double station, double depth, int n_scalars);

/// [1] The share of the motion, summed over the nodes in the limbs' middle planes, that is across them: all of it where sections
/// twist and go aside, nothing where the limbs move in the plane of the draw.
double share_across(const Equilibrium &equilibrium, const State &way);
} // namespace limbwright
