// Where the limb has corners: what is not smooth in its outline and is no end of a lamination.
#include "meshing/shape/limb_shape.h"

#include <algorithm>
#include <cmath>

namespace limbwright
{
namespace
{
// Half the distance over which slopes are taken [m]: far below what the corner is for the material, far above rounding.
constexpr double half_step = 1e-5;

// Of a smooth function: about half_step times its second derivative.
template <class F>
double change_of_slope(const F &f, const double s)
{
  return std::abs(f(s + half_step) - 2. * f(s) + f(s - half_step)) / half_step;
}
} // namespace

std::vector<double> LimbShape::corners() const
{
  std::vector<double> looked_at = limb.width.station;
  const auto add = [&looked_at](const std::vector<double> &stations)
  { looked_at.insert(looked_at.end(), stations.begin(), stations.end()); };
  add(limb.profile.lean.station);
  for (const LaminationDescription &lamination : limb.laminations)
    add(lamination.thickness.station);
  for (const LaminationEnd &e : ends)
    looked_at.push_back(e.station + (e.toward_tip ? -1. : 1.) * limb.laminations[e.lamination].bevel);
  std::sort(looked_at.begin(), looked_at.end());

  const auto at_an_end = [this](const double s)
  {
    return s - limb.root_station < same_station || limb.tip_station - s < same_station ||
           std::any_of(ends.begin(), ends.end(), [s](const LaminationEnd &e) { return std::abs(e.station - s) < same_station; });
  };
  const auto is_corner = [this](const double s)
  {
    if (change_of_slope([this](double at) { return 0.5 * limb.width.at(at); }, s) > corner_slope)
      return true;
    const StationTable &lean = limb.profile.lean;
    if (std::abs(lean.slope(s) - lean.slope(s - half_step)) * stack(s) > corner_bend)
      return true;
    for (std::size_t i = 0; i < n_laminations(); ++i)
      if (i == first_piece(i) && change_of_slope([this, i](double at) { return whole_thickness(i, at); }, s) > corner_slope)
        return true;
    return false;
  };
  std::vector<double> corners;
  for (const double s : looked_at)
    if (!at_an_end(s) && (corners.empty() || s - corners.back() >= same_station) && is_corner(s))
      corners.push_back(s);
  return corners;
}
} // namespace limbwright
