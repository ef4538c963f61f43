#include "meshing/shape/station_table.h"

#include <algorithm>
#include <iterator>

namespace limbwright
{
double StationTable::at(const double s) const
{
  if (station.empty())
    return 0.;
  const auto after = std::upper_bound(station.begin(), station.end(), s);
  if (after == station.begin())
    return value.front();
  if (after == station.end())
    return value.back();
  const auto i = static_cast<std::size_t>(std::distance(station.begin(), after));
  const double fraction = (s - station[i - 1]) / (station[i] - station[i - 1]);
  return value[i - 1] + fraction * (value[i] - value[i - 1]);
}

double StationTable::slope(const double s) const
{
  const auto after = std::upper_bound(station.begin(), station.end(), s);
  if (after == station.begin() || after == station.end())
    return 0.;
  const auto i = static_cast<std::size_t>(std::distance(station.begin(), after));
  return (value[i] - value[i - 1]) / (station[i] - station[i - 1]);
}
} // namespace limbwright
