#include "cases/report/page/bending.h"

#include "cases/report/output_units.h"

#include <algorithm>
#include <utility>
#include <vector>

namespace limbwright
{
namespace
{
/// Half of the median change of curvature of a limb, by length. [1/m]
double working_bend(const std::vector<SectionState> &sections)
{
  std::vector<std::pair<double, double>> stretches; // mean bend, length
  double whole = 0.;
  for (std::size_t i = 1; i < sections.size(); ++i)
  {
    const double length = sections[i].station - sections[i - 1].station;
    stretches.emplace_back(0.5 * (sections[i - 1].curvature_change + sections[i].curvature_change), length);
    whole += length;
  }
  std::sort(stretches.begin(), stretches.end());
  double below = 0.;
  for (const auto &[bend, length] : stretches)
    if ((below += length) >= 0.5 * whole)
      return 0.5 * bend;
  return 0.;
}

/// Mean of the change of curvature over what works of a stretch about a station, trapezoid by trapezoid. [1/m]
double mean_about(const std::vector<SectionState> &sections, double station, double reach, double working)
{
  double area = 0., length = 0.;
  for (std::size_t i = 1; i < sections.size(); ++i)
  {
    const auto &a = sections[i - 1], &b = sections[i];
    const double mean = 0.5 * (a.curvature_change + b.curvature_change);
    if (a.station < station - reach || b.station > station + reach || mean < working)
      continue;
    area += mean * (b.station - a.station);
    length += b.station - a.station;
  }
  return length > 0. ? area / length : 0.;
}
} // namespace

const SectionState *most_bent(const DrawResults &results)
{
  const SectionState *most = nullptr;
  if (!results.snapshots.empty())
    for (const auto &limb : results.snapshots.back().limbs)
      for (const auto &section : limb.sections)
        if (most == nullptr || section.curvature_change > most->curvature_change)
          most = &section;
  return most;
}

std::optional<Hinge> sharpest_bend(const DrawResults &results)
{
  const auto *most = most_bent(results);
  if (most == nullptr || !(most->curvature_change > 0.))
    return std::nullopt;
  std::optional<Hinge> sharpest;
  for (const auto &limb : results.snapshots.back().limbs)
  {
    const double working = working_bend(limb.sections);
    for (const auto &section : limb.sections)
    {
      if (section.curvature_change < working)
        continue;
      const double mean = mean_about(limb.sections, section.station, 3. * inch, working);
      if (mean > 0. && (!sharpest || section.curvature_change / mean > sharpest->over_mean))
        sharpest = Hinge{limb.limb, section.station, section.curvature_change, section.curvature_change / mean};
    }
  }
  return sharpest;
}
} // namespace limbwright
