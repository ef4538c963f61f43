#include "cases/study/strip_flex.h"

#include <cmath>

namespace limbwright
{
double strip_deflection(const MeasuredStrip &strip, const LaminationDescription &lamination, const Material &material)
{
  constexpr int n_steps = 400;
  constexpr double shear_coefficient = 5. / 6.;
  const StationTable &thickness = strip.thickness.empty() ? lamination.thickness : strip.thickness;
  const double E = material.constants.E_L;
  const double G = lamination.ring == RingOrientation::flat ? material.constants.G_LR : material.constants.G_LT;
  const double step = strip.span / n_steps;
  double compliance = 0.; // [m/N]
  for (int i = 0; i < n_steps; ++i)
  {
    const double x = (i + 0.5) * step, t = thickness.at(strip.middle - 0.5 * strip.span + x);
    const double moment = 0.5 * std::min(x, strip.span - x); // under a load of one
    compliance +=
        step * (moment * moment / (E * strip.width * t * t * t / 12.) + 0.25 / (shear_coefficient * G * strip.width * t));
  }
  return strip.load * compliance;
}

double strip_modulus(const MeasuredStrip &strip, const LaminationDescription &lamination, const Material &material)
{
  return material.constants.E_L * strip_deflection(strip, lamination, material) / strip.deflection;
}
} // namespace limbwright
