#include "cases/study/section_bending.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace limbwright
{
BendingSection::BendingSection(const LimbShape &shape, const std::map<std::string, Material> &materials, bool wood_yields,
                               double station)
    : back(shape.outer_back_depth(station)), belly(shape.outer_belly_depth(station))
{
  const std::size_t n = shape.n_laminations();
  laws.resize(n); // fibres point into it
  const int slices = std::clamp(24 / static_cast<int>(n), 4, 16);
  for (std::size_t i = 0; i < n; ++i)
  {
    if (!shape.present(i, station))
      continue;
    const Material &material = materials.at(shape.description().laminations[i].material);
    if (wood_yields)
      laws[i] = crushing_law(material);
    const double t = shape.thickness(i, station) / slices;
    for (int k = 0; k < slices; ++k)
    {
      const double depth = shape.back_face_depth(i, station) + (k + 0.5) * t;
      fibres.push_back({depth, t * shape.width(station, depth), material.constants.E_L, laws[i] ? &*laws[i] : nullptr, i});
    }
  }
}

BendingSection::Bent BendingSection::bend(double curvature, std::size_t lamination, double share_left, double start) const
{
  // Bending toward the archer shortens the belly, which lies deepest.
  Bent bent{0., start};
  for (int iteration = 0; iteration < 30; ++iteration)
  {
    double force = 0., tangent = 0., scale = 0.;
    bent.moment = 0.;
    for (const Fibre &fibre : fibres)
    {
      const double strain = bent.strain_at_datum - curvature * fibre.depth;
      const double area = fibre.area * (fibre.lamination == lamination ? share_left : 1.);
      double stress = fibre.E * strain, stiffness = fibre.E;
      if (fibre.law != nullptr)
        if (const double a = plastic_strain_after(*fibre.law, fibre.E, -stress, 0.); a > 0.)
        {
          const double slope = flow_stress_slope(*fibre.law, a);
          stress += fibre.E * a;
          stiffness = fibre.E * slope / (fibre.E + slope);
        }
      force += area * stress;
      scale += area * std::abs(stress);
      tangent += area * stiffness;
      bent.moment -= area * stress * fibre.depth;
    }
    if (std::abs(force) <= 1e-9 * scale)
      break;
    bent.strain_at_datum -= force / tangent;
  }
  return bent;
}

double BendingSection::strains_more(double curvature, std::size_t lamination, double width_share) const
{
  if (width_share <= 0. || curvature <= 0.)
    return 1.;
  const Bent whole = bend(curvature, lamination, 1., 0.);
  constexpr double most = 8.; // times the curvature: more is broken
  double low = curvature, high = most * curvature;
  if (bend(high, lamination, 1. - width_share, whole.strain_at_datum).moment < whole.moment)
    return std::numeric_limits<double>::infinity();
  Bent less;
  for (int i = 0; i < 22; ++i)
  {
    const double middle = 0.5 * (low + high);
    less = bend(middle, lamination, 1. - width_share, whole.strain_at_datum);
    (less.moment < whole.moment ? low : high) = middle;
  }
  double more = high / curvature;
  for (const double depth : {back, belly})
    if (const double before = whole.strain_at_datum - curvature * depth; before != 0.)
      more = std::max(more, std::abs((less.strain_at_datum - high * depth) / before));
  return more;
}
} // namespace limbwright
