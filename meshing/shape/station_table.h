#pragma once

#include <cstddef>
#include <vector>

namespace limbwright
{
/// Length from a row of a smooth table within which its run turns from one taper into the next where the rows are far apart. [m]
/// Ours: a hand fairs a corner over a few inches, and leaves a long taper as straight as it was laid out.
inline constexpr double longest_turn = 2. * 0.0254;

/// A quantity given at stations along the back, constant beyond the first and the last. Stations ascend strictly. An empty table
/// is zero everywhere. Between its rows it runs straight; or smoothly, as a hand leaves a piece: a cubic through the rows that
/// rises and falls only where they do, so that it passes none of them over, and is level where they are (Fritsch and Carlson
/// 1980, SIAM J. Numer. Anal. 17:238; slopes at the rows by Fritsch and Butland 1984, SIAM J. Sci. Stat. Comput. 5:300, harmonic
/// means of the neighbouring tapers; both from memory). At the ends it has the slope of the straight line, so that a feather
/// keeps its angle. Between rows more than two longest_turn apart it is straight but for the turns next to them.
struct StationTable
{
  std::vector<double> station; //!< [m] along the back from the middle of the handle
  std::vector<double> value;
  bool smooth = false;                            //!< between the rows; two rows alone are joined by a straight line
  bool level_before = false, level_after = false; //!< smooth: what it describes goes on beyond its first or last row

  static StationTable constant(double value) { return {{0.}, {value}}; }
  double at(double s) const;
  /// d value / d station just after s (zero beyond the ends).
  double slope(double s) const;
  bool empty() const { return station.empty(); }
  /// Stations at which one polynomial follows another: the rows, and of a smooth table the ends of their turns. Ascending.
  std::vector<double> pieces() const;

private:
  struct Piece; // a cubic between two stations
  Piece piece_at(double s) const;
  double taper(std::size_t interval) const;
  double turn(std::size_t interval) const;
  double slope_at_row(std::size_t row) const;
};
} // namespace limbwright
