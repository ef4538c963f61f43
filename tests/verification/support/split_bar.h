#pragma once

#include "bodies.h"
#include "meshing/shape/splits.h"

namespace limbwright::checks
{
/// The straight bar whose splits are checked, of one lamination. [Pa, m]
struct SplitBar
{
  static constexpr double E = 12e9, length = 0.4, width = 25e-3, thickness = 10e-3;

  static LimbDescription whole()
  {
    LimbDescription limb = straight_bar(length, thickness, width);
    limb.laminations[0].feather = 0.2e-3;
    return limb;
  }
};

/// depth: below the back [m]; slant: across the width [rad].
inline Split split_at(double from, double to, double depth, double slant = 0.)
{
  Split split;
  split.patch.from = from;
  split.patch.to = to;
  split.depth = depth;
  split.slant = slant;
  return split;
}
} // namespace limbwright::checks
