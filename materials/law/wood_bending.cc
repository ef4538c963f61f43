#include "materials/law/wood_bending.h"

#include <cmath>

namespace limbwright
{
// A rectangular bar of depth h, elastic with E on both sides, perfectly plastic in compression at f_c, breaking in tension at
// X_T = r f_c. When the back breaks (r >= 1) the axial forces balance over a tension zone a, an elastic compression zone a/r and
// a yielded rest: r a/2 = a/(2r) + (h - a - a/r), so a = 2 r h/(r+1)^2. The curvature is X_T/(E a). Hence
//   belly strain = (X_T/E)(h - a)/a = (f_c/E)(r^2+1)/2,
//   moment about the neutral axis over b h^2/6 = f_c (3r-1)/(r+1).
// With r < 1 the back breaks before the belly yields: the belly strain is X_T/E and the bending strength X_T.
// Assumptions as in Norris 1962, FPL Report 2255; the algebra is our own.

double set_index(double belly_strain, double compression_L, double E_L)
{
  return belly_strain / (compression_L / E_L);
}

double crushing_strain(double compression_L, double tension_L, double E_L)
{
  const double r = tension_L / compression_L;
  return compression_L / E_L * (r < 1. ? r : 0.5 * (r * r + 1.));
}

double crushing_index(double belly_strain, double compression_L, double tension_L, double E_L)
{
  return belly_strain / crushing_strain(compression_L, tension_L, E_L);
}

double apparent_modulus_of_rupture(double compression_L, double tension_L)
{
  const double r = tension_L / compression_L;
  return r < 1. ? tension_L : compression_L * (3. * r - 1.) / (r + 1.);
}

double hankinson(double along, double across, double angle, double exponent)
{
  return along * across /
         (along * std::pow(std::abs(std::sin(angle)), exponent) + across * std::pow(std::abs(std::cos(angle)), exponent));
}
} // namespace limbwright
