#include "cases/reader/offset_profile.h"

#include <algorithm>
#include <cmath>
#include <vector>

namespace limbwright
{
namespace
{
/// Slopes of the parabola through three neighbouring points, exact for an arc of slight bend. Where the points rise or fall on
/// both sides a slope is held within three times the lesser secant, which keeps the cubic from overshooting (Fritsch and
/// Carlson 1980, their sufficient condition; from memory).
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
  slopes[0] = ((2. * h[0] + h[1]) * d[0] - h[0] * d[1]) / (h[0] + h[1]);
  slopes[n - 1] = ((2. * h[n - 2] + h[n - 3]) * d[n - 2] - h[n - 2] * d[n - 3]) / (h[n - 2] + h[n - 3]);
  for (std::size_t i = 1; i + 1 < n; ++i)
  {
    slopes[i] = (h[i] * d[i - 1] + h[i - 1] * d[i]) / (h[i - 1] + h[i]);
    if (d[i - 1] * d[i] > 0.)
    {
      const double most = 3. * std::min(std::abs(d[i - 1]), std::abs(d[i]));
      slopes[i] = std::clamp(slopes[i], -most, most);
    }
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
