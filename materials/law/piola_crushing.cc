#include "materials/law/piola_crushing.h"

#include <algorithm>
#include <cmath>

namespace limbwright
{
namespace
{
// A Newton iterate may ask beyond any sense: there it stays at a tenth of the length.
double plastic_stretch(double a)
{
  return std::sqrt(std::max(1. - 2. * a, 0.01));
}
} // namespace

// With m the stretch and p the law's flow stress: s = p(1 - m) / m, dm/da = -1/m, ds/da = (p' + p/m) / m^2.
PiolaFlow piola_flow(const CrushingLaw &law, double a)
{
  const double m = plastic_stretch(a), p = flow_stress(law, 1. - m);
  return {p / m, (flow_stress_slope(law, 1. - m) + p / m) / (m * m)};
}

// s da = p db.
double piola_dissipated(const CrushingLaw &law, double a)
{
  return dissipated(law, 1. - plastic_stretch(a));
}
} // namespace limbwright
