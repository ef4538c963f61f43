#pragma once

#include "solver/results.h"

#include <optional>

namespace limbwright
{
/// Where a limb bends most against its neighbourhood.
struct Hinge
{
  LimbName limb = LimbName::upper;
  double station = 0.;          //!< [m]
  double curvature_change = 0.; //!< [1/m] since unstrung
  double over_mean = 0.;        //!< [1] over the mean of three inches to either side
};

/// A bend this many times its neighbourhood's looks like a hinge. Common practice of tillering, no source.
inline constexpr double hinge_ratio = 1.3;

/// The sharpest one at the last draw reached, among places that bend at least half as much as the limb does in the middle of its
/// range (the median by length): where a stiff fade or tip begins is no hinge. Nothing where the bow was not drawn.
std::optional<Hinge> sharpest_bend(const DrawResults &results);

/// The section of any limb that bends most at the last draw; null where there is none.
const SectionState *most_bent(const DrawResults &results);
} // namespace limbwright
