#include "meshing/shape/station_table.h"

#include <algorithm>

namespace limbwright
{
struct StationTable::Piece
{
  double begin, length;
  double value[2], slope[2]; // at both ends
};

// Interval i lies between rows i and i + 1.
double StationTable::taper(const std::size_t interval) const
{
  return (value[interval + 1] - value[interval]) / (station[interval + 1] - station[interval]);
}

// Length next to a row within which a smooth table turns; the whole interval where that is short.
double StationTable::turn(const std::size_t interval) const
{
  const double length = station[interval + 1] - station[interval];
  return length > 2. * longest_turn ? longest_turn : length;
}

double StationTable::slope_at_row(const std::size_t row) const
{
  const std::size_t last = station.size() - 1;
  if ((row == 0 && level_before) || (row == last && level_after))
    return 0.;
  if (row > 0 && row < last)
  {
    const double before = taper(row - 1), after = taper(row), h_before = turn(row - 1), h_after = turn(row);
    if (before * after <= 0.)
      return 0.;
    const double w_before = 2. * h_after + h_before, w_after = h_after + 2. * h_before;
    return (w_before + w_after) / (w_before / before + w_after / after);
  }
  return taper(row == 0 ? 0 : last - 1); // a feather keeps its angle
}

// The stations lie between the first and the last row.
StationTable::Piece StationTable::piece_at(const double s) const
{
  const auto i = static_cast<std::size_t>(std::upper_bound(station.begin(), station.end(), s) - station.begin()) - 1;
  const double m = taper(i), length = station[i + 1] - station[i];
  const std::size_t last = station.size() - 1;
  if (!smooth)
    return {station[i], length, {value[i], value[i + 1]}, {m, m}};
  const bool turns_first = i > 0 || level_before, turns_last = i + 1 < last || level_after;
  if (turn(i) == length)
    return {station[i], length, {value[i], value[i + 1]}, {slope_at_row(i), slope_at_row(i + 1)}};
  if (turns_first && s < station[i] + longest_turn)
    return {station[i], longest_turn, {value[i], value[i] + m * longest_turn}, {slope_at_row(i), m}};
  if (turns_last && s >= station[i + 1] - longest_turn)
    return {
        station[i + 1] - longest_turn, longest_turn, {value[i + 1] - m * longest_turn, value[i + 1]}, {m, slope_at_row(i + 1)}};
  return {station[i], length, {value[i], value[i + 1]}, {m, m}};
}

double StationTable::at(const double s) const
{
  if (station.empty())
    return 0.;
  if (s < station.front() || station.size() == 1)
    return value.front();
  if (s >= station.back())
    return value.back();
  const Piece p = piece_at(s);
  const double t = (s - p.begin) / p.length, rise = p.value[1] - p.value[0];
  // The straight line, and what the slopes at both ends add to it.
  return p.value[0] + t * rise + t * (1. - t) * ((1. - t) * (p.slope[0] * p.length - rise) - t * (p.slope[1] * p.length - rise));
}

double StationTable::slope(const double s) const
{
  if (station.size() < 2 || s < station.front() || s >= station.back())
    return 0.;
  const Piece p = piece_at(s);
  const double t = (s - p.begin) / p.length, m = (p.value[1] - p.value[0]) / p.length;
  return m + (1. - t) * (1. - 3. * t) * (p.slope[0] - m) - t * (2. - 3. * t) * (p.slope[1] - m);
}

std::vector<double> StationTable::pieces() const
{
  std::vector<double> all = station;
  for (std::size_t i = 0; smooth && i + 1 < station.size(); ++i)
    if (station[i + 1] - station[i] > 2. * longest_turn)
    {
      all.push_back(station[i] + longest_turn);
      all.push_back(station[i + 1] - longest_turn);
    }
  std::sort(all.begin(), all.end());
  return all;
}
} // namespace limbwright
