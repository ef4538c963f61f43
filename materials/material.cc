#include "materials/material.h"

#include <cmath>

namespace limbwright
{
double tension_through_thickness(const Material &material, RingOrientation ring)
{
  return ring == RingOrientation::flat ? material.strengths.tension_R : material.strengths.tension_T;
}

double compression_through_thickness(const Material &material, RingOrientation ring)
{
  return ring == RingOrientation::flat ? material.strengths.compression_R : material.strengths.compression_T;
}

double shear_in_side_view(const Material &material, RingOrientation ring)
{
  return ring == RingOrientation::flat ? material.strengths.shear_LR : material.strengths.shear_LT;
}

std::optional<CrushingLaw> crushing_law(const Material &material)
{
  const double strength = material.strengths.compression_L;
  const bool yields = material.kind == MaterialKind::wood || material.kind == MaterialKind::bamboo;
  if (!yields || std::isnan(strength))
    return std::nullopt;
  const CrushingBehaviour &given = material.crushing;
  const auto or_else = [](double value, double fallback) { return std::isnan(value) ? fallback : value; };
  CrushingLaw law{.yield = strength * or_else(given.yield_ratio, .75),
                  .strength = strength,
                  .hardening_strain = or_else(given.hardening_strain, .1 * strength / material.constants.E_L)};
  if (!std::isnan(given.falling) && !std::isnan(given.fall_from))
  {
    law.falling = given.falling;
    law.fall_from = given.fall_from;
    law.floor = or_else(given.floor, 0.);
  }
  return law;
}
} // namespace limbwright
