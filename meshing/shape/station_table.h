#pragma once

#include <vector>

namespace limbwright
{
/// A quantity given at stations along the back, linear between them and constant beyond the first and the last.
/// Stations ascend strictly. An empty table is zero everywhere.
struct StationTable
{
  std::vector<double> station; //!< [m] along the back from the middle of the handle
  std::vector<double> value;

  static StationTable constant(double value) { return {{0.}, {value}}; }
  double at(double s) const;
  /// d value / d station just after s (zero beyond the ends).
  double slope(double s) const;
  bool empty() const { return station.empty(); }
};
} // namespace limbwright
