#include "materials/material.h"

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
} // namespace limbwright
