#include "materials/wood_variation.h"

#include <algorithm>
#include <cmath>

namespace limbwright
{
std::vector<VaryingStrengths> varying_strengths(Material &material)
{
  using namespace wood_variation;
  Strengths &s = material.strengths;
  return {{compression, {&s.compression_L, &material.crushing.floor, &material.crushing.falling}},
          {tension, {&s.tension_L}},
          {shear, {&s.shear_LR, &s.shear_LT, &s.shear_RT}},
          {compression_across, {&s.compression_R, &s.compression_T}},
          {tension_across, {&s.tension_R, &s.tension_T}},
          {bending, {&material.modulus_of_rupture}}};
}

double strength_over_species(const WoodVariation &variation, const double modulus_deviates, const double own_deviates)
{
  const double r = variation.with_modulus;
  return std::max(least_strength, 1. + variation.deviation * (r * modulus_deviates + std::sqrt(1. - r * r) * own_deviates));
}
} // namespace limbwright
