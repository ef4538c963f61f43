#pragma once

#include "meshing/shape/station_table.h"

#include <optional>

namespace limbwright
{
/// Lean [rad] of a back whose offsets [m] from a straightedge were measured at stations along it: a smooth curve through the
/// points (piecewise cubic Hermite), lean = asin(d offset / d station), sampled finely. Nothing when the offsets change faster
/// than the stations.
std::optional<StationTable> lean_from_offsets(const StationTable &offsets);
} // namespace limbwright
