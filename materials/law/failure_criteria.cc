#include "materials/law/failure_criteria.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace limbwright
{
namespace
{
/// std::max drops a NaN that stands second, so unknown strengths are looked for before anything else.
bool all_known(const PlaneStrengths &f)
{
  return !std::isnan(f.tension_1 + f.compression_1 + f.tension_2 + f.compression_2 + f.shear_12);
}

constexpr double unknown_index = std::numeric_limits<double>::quiet_NaN();

/// Positive root x = 1/R of x^2 - linear x - quadratic = 0, which is quadratic R^2 + linear R = 1.
double reciprocal_factor(double quadratic, double linear)
{
  return 0.5 * (linear + std::sqrt(linear * linear + 4. * std::max(quadratic, 0.)));
}

/// Stress over the strength of its own sign, signed.
double ratio(double stress, double tension, double compression)
{
  return stress >= 0. ? stress / tension : stress / compression;
}

/// Quadratic tensor criterion with the cross coefficient given; the linear terms vanish where tension and compression agree.
double tensor_index(const PlaneStress &s, const PlaneStrengths &f, double F_12)
{
  const double F_1 = 1. / f.tension_1 - 1. / f.compression_1;
  const double F_2 = 1. / f.tension_2 - 1. / f.compression_2;
  const double F_11 = 1. / (f.tension_1 * f.compression_1);
  const double F_22 = 1. / (f.tension_2 * f.compression_2);
  const double F_66 = 1. / (f.shear_12 * f.shear_12);
  return reciprocal_factor(F_11 * s.s1 * s.s1 + F_22 * s.s2 * s.s2 + F_66 * s.s12 * s.s12 + 2. * F_12 * s.s1 * s.s2,
                           F_1 * s.s1 + F_2 * s.s2);
}
} // namespace

double maximum_stress_index(const PlaneStress &s, const PlaneStrengths &f)
{
  if (!all_known(f))
    return unknown_index;
  return std::max({std::abs(ratio(s.s1, f.tension_1, f.compression_1)), std::abs(ratio(s.s2, f.tension_2, f.compression_2)),
                   std::abs(s.s12) / f.shear_12});
}

double tsai_wu_index(const PlaneStress &s, const PlaneStrengths &f, double interaction)
{
  if (!all_known(f))
    return unknown_index;
  return tensor_index(s, f, interaction / std::sqrt(f.tension_1 * f.compression_1 * f.tension_2 * f.compression_2));
}

double hoffman_index(const PlaneStress &s, const PlaneStrengths &f)
{
  if (!all_known(f))
    return unknown_index;
  return tensor_index(s, f, -0.5 / (f.tension_1 * f.compression_1));
}

double tsai_hill_index(const PlaneStress &s, const PlaneStrengths &f)
{
  if (!all_known(f))
    return unknown_index;
  const double strength_1 = s.s1 >= 0. ? f.tension_1 : f.compression_1;
  const double r1 = s.s1 / strength_1;
  const double r2 = ratio(s.s2, f.tension_2, f.compression_2);
  const double r12 = s.s12 / f.shear_12;
  return std::sqrt(std::max(r1 * r1 - r1 * s.s2 / strength_1 + r2 * r2 + r12 * r12, 0.));
}

double hashin_index(const PlaneStress &s, const PlaneStrengths &f)
{
  if (!all_known(f))
    return unknown_index;
  const double r12 = s.s12 / f.shear_12;
  const double fibre = s.s1 >= 0. ? std::hypot(s.s1 / f.tension_1, r12) : -s.s1 / f.compression_1;
  // Hashin's matrix compression mode has a transverse shear strength S_T: (s2/2S_T)^2 + [(Y_c/2S_T)^2 - 1] s2/Y_c + (s12/S)^2.
  // It is not among the plane strengths; S_T = Y_c/2 (shear at 45 degrees under Y_c) is taken, and the linear term vanishes.
  const double matrix = std::hypot(ratio(s.s2, f.tension_2, f.compression_2), r12);
  return std::max(fibre, matrix);
}

double norris_index(const PlaneStress &s, const PlaneStrengths &f)
{
  if (!all_known(f))
    return unknown_index;
  const double r1 = ratio(s.s1, f.tension_1, f.compression_1);
  const double r2 = ratio(s.s2, f.tension_2, f.compression_2);
  const double r12 = s.s12 / f.shear_12;
  // The form is positive definite in the three ratios, so the root is real.
  return std::max({std::sqrt(r1 * r1 - r1 * r2 + r2 * r2 + r12 * r12), std::abs(r1), std::abs(r2)});
}
} // namespace limbwright
