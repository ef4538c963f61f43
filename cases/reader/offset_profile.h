#pragma once

#include "meshing/shape/station_table.h"

#include <optional>

namespace limbwright
{
/// Lean [rad] of a back whose offsets [m] from a straightedge were measured at stations along it: a smooth curve without
/// overshoot through the points (piecewise cubic Hermite with the slopes of Fritsch and Carlson 1980, harmonic mean as in
/// Fritsch and Butland 1984), lean = asin(d offset / d station), sampled finely. Nothing when the offsets change faster than the
/// stations.
std::optional<StationTable> lean_from_offsets(const StationTable &offsets);
} // namespace limbwright
