#include "meshing/shape/limb_shape.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <stdexcept>

namespace limbwright
{
namespace
{
// Gauss's rule of four points on [0, 1]: exact for polynomials of degree seven, a cubic width times a cubic thickness among them
// (Abramowitz and Stegun 1964, Table 25.4).
const double near_middle = 0.5 * std::sqrt(3. / 7. - 2. / 7. * std::sqrt(1.2)),
             near_end = 0.5 * std::sqrt(3. / 7. + 2. / 7. * std::sqrt(1.2));
const std::array<double, 4> gauss_point{0.5 - near_end, 0.5 - near_middle, 0.5 + near_middle, 0.5 + near_end};
const double heavy = (18. + std::sqrt(30.)) / 72., light = (18. - std::sqrt(30.)) / 72.;
const std::array<double, 4> gauss_weight{light, heavy, heavy, light};
} // namespace

double LimbShape::mass(const std::vector<double> &lamination_density, const std::vector<double> &glue_density,
                       const double from_station) const
{
  if (lamination_density.size() != n_laminations() || glue_density.size() != limb.glue.size())
    throw std::invalid_argument("The mass needs a density for every lamination and every glue line.");

  // Mass per length along the back [kg/m] of the section between two depths: the fibre at a depth is longer or shorter than it.
  const auto smooth_mass = [&](const double s, const double from, const double to, const auto &density)
  {
    double sum = 0.;
    for (std::size_t q = 0; q < gauss_point.size(); ++q)
    {
      const double depth = from + gauss_point[q] * (to - from);
      sum += gauss_weight[q] * density(depth) * width(s, depth) * (1. + depth * limb.profile.lean.slope(s));
    }
    return sum * (to - from);
  };
  // A round face is upright at its end, which a polynomial follows badly: four pieces of it are within 0.05 %.
  const auto mass_between = [&](const double s, const double from, const double to, const auto &density)
  {
    constexpr int n_parts = 4;
    double sum = 0.;
    const std::vector<double> breaks = width_breaks(s);
    for (std::size_t i = 0; i + 1 < breaks.size(); ++i)
    {
      const double begin = std::clamp(breaks[i], from, to), length = std::clamp(breaks[i + 1], from, to) - begin;
      for (int part = 0; part < n_parts && length > 0.; ++part)
        sum += smooth_mass(s, begin + part * length / n_parts, begin + (part + 1) * length / n_parts, density);
    }
    return sum;
  };

  double mass = 0.;
  const std::vector<double> pieces = this->pieces();
  for (std::size_t piece = 0; piece + 1 < pieces.size(); ++piece)
    for (std::size_t q = 0; q < gauss_point.size() && pieces[piece + 1] > from_station; ++q)
    {
      const double begin = std::max(pieces[piece], from_station), length = std::max(0., pieces[piece + 1] - begin);
      const double s = begin + gauss_point[q] * length;
      double mass_per_length = 0.;
      for (std::size_t i = 0; i < n_laminations(); ++i)
        if (present(i, s))
        {
          const double back_depth = back_face_depth(i, s);
          const auto of_laminations = [&](const double depth)
          {
            double density = 0.;
            for (const auto &[lamination, share] : across(i, s, depth))
              density += share * lamination_density[lamination];
            return density;
          };
          mass_per_length += mass_between(s, back_depth, belly_face_depth(i, s), of_laminations);
          if (const double glue = gap(i, s); glue > 0.)
            mass_per_length += mass_between(s, back_depth - glue, back_depth, [&](double) { return glue_density[i]; });
        }
      mass += gauss_weight[q] * length * mass_per_length;
    }
  return mass;
}
} // namespace limbwright
