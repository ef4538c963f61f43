#pragma once

#include "solver/stages/equilibrium.h"

#include <array>
#include <string>
#include <vector>

namespace limbwright
{
/// An equilibrium and the parameter that it belongs to.
struct PathPoint
{
  State state;
  double parameter = 0.;
  std::vector<History> history; //!< by solid, after it
};

/// Where a path of equilibria leads that Newton's method at a given parameter does not follow.
struct LimitPoint
{
  enum class End
  {
    target, //!< the parameter goes on to the target
    turned, //!< the parameter came to an extreme and goes back: a fold
    lost    //!< no equilibrium was found on the way
  };
  End end = End::lost;
  double parameter = 0.;               //!< the extreme, by a parabola through the three points about it
  PathPoint last;                      //!< before the target or the extreme, or before it was lost
  std::vector<Eigen::VectorXd> motion; //!< by solid: how the displacements go on there, of unit length
  std::string reason;                  //!< why it was lost
  int iterations = 0;
};

/// Follows the path on from two of its points by arc length: the step is held by how far the displacements move along their last
/// change, so that the parameter is free to turn (Riks 1979, Int. J. Solids Struct. 15:529, with the displacements alone in the
/// constraint). The solids' histories are those of `now`, before and after. shortest: [1] step over the way from before to now.
LimitPoint seek_limit_point(Equilibrium &equilibrium, const PathPoint &before, const PathPoint &now, double target,
                            const Loads &loads, double shortest = 1. / 128.);

/// The station [m] about which a motion bends a limb most, and the ratio of that bending to the mean over the limb [1].
struct SharpBend
{
  double station = 0.;
  double sharpness = 0.;
};
SharpBend sharpest_bend(const LimbModel &limb, const Eigen::VectorXd &q, const Eigen::VectorXd &motion);

/// "at the knot at 12.0 in", "at 12.0 in": a place of the limb, with what is wrong there.
std::string place_words(const LimbModel &limb, double station);
} // namespace limbwright
