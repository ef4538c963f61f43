#include "cases/reader/offset_profile.h"

#include <cmath>
#include <vector>

namespace limbwright
{
namespace
{
/// Slope at an end by the three-point formula, held within what keeps the curve monotone (from memory; the usual end rule of
/// piecewise cubic Hermite interpolation).
double end_slope(double h0, double h1, double d0, double d1)
{
  double slope = ((2. * h0 + h1) * d0 - h0 * d1) / (h0 + h1);
  if (slope * d0 <= 0.)
    slope = 0.;
  else if (d0 * d1 <= 0. && std::abs(slope) > 3. * std::abs(d0))
    slope = 3. * d0;
  return slope;
}

std::vector<double> knot_slopes(const StationTable &offsets)
{
  const std::size_t n = offsets.station.size();
  std::vector<double> h(n - 1), d(n - 1), slopes(n);
  for (std::size_t i = 0; i + 1 < n; ++i)
  {
    h[i] = offsets.station[i + 1] - offsets.station[i];
    d[i] = (offsets.value[i + 1] - offsets.value[i]) / h[i];
  }
  if (n == 2)
    return {d[0], d[0]};
  slopes[0] = end_slope(h[0], h[1], d[0], d[1]);
  slopes[n - 1] = end_slope(h[n - 2], h[n - 3], d[n - 2], d[n - 3]);
  for (std::size_t i = 1; i + 1 < n; ++i)
  {
    if (d[i - 1] * d[i] <= 0.)
      continue;
    const double w0 = 2. * h[i] + h[i - 1], w1 = h[i] + 2. * h[i - 1];
    slopes[i] = (w0 + w1) / (w0 / d[i - 1] + w1 / d[i]);
  }
  return slopes;
}
} // namespace

std::optional<StationTable> lean_from_offsets(const StationTable &offsets)
{
  constexpr int n_samples = 12; // per interval; the lean is linear between them
  const std::size_t n = offsets.station.size();
  if (n < 2)
    return StationTable::constant(0.);
  const std::vector<double> slopes = knot_slopes(offsets);
  StationTable lean;
  for (std::size_t i = 0; i + 1 < n; ++i)
  {
    const double h = offsets.station[i + 1] - offsets.station[i];
    const double d = (offsets.value[i + 1] - offsets.value[i]) / h;
    for (int k = i == 0 ? 0 : 1; k <= n_samples; ++k)
    {
      const double t = static_cast<double>(k) / n_samples;
      const double slope = 6. * d * t * (1. - t) + slopes[i] * (1. - t) * (1. - 3. * t) + slopes[i + 1] * t * (3. * t - 2.);
      if (!(std::abs(slope) < 1.))
        return std::nullopt;
      lean.station.push_back(k == n_samples ? offsets.station[i + 1] : offsets.station[i] + t * h);
      lean.value.push_back(std::asin(slope));
    }
  }
  return lean;
}
} // namespace limbwright
