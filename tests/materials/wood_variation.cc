#include "materials/wood_variation.h"
#include "materials/conditions.h"

#include <catch2/catch.hpp>

#include <cmath>

using namespace limbwright;

TEST_CASE("A strength keeps its coefficient of variation, and follows the modulus by its correlation", "[quick]")
{
  for (const WoodVariation &variation : {wood_variation::compression, wood_variation::shear, wood_variation::bending})
  {
    // Linear in two independent normal deviates: its variance is the sum of the squared slopes.
    const double by_modulus = strength_over_species(variation, 1., 0.) - 1., own = strength_over_species(variation, 0., 1.) - 1.;
    CHECK(std::hypot(by_modulus, own) == Approx(variation.deviation));
    CHECK(by_modulus / std::hypot(by_modulus, own) == Approx(variation.with_modulus));
  }
  CHECK(strength_over_species(wood_variation::compression_across, -3., -3.) == least_strength);
}

TEST_CASE("A piece's quality and its scatter are of one table", "[quick]")
{
  // Wood Handbook (Kretschmann 2010, FPL-GTR-190), Table 5-6: the shares of the mean by which clear wood varies.
  Material wood;
  wood.kind = MaterialKind::wood;
  wood.strengths = {100., 50., 4., 8., 4., 8., 10., 10., 3.};
  wood.modulus_of_rupture = 90.;
  Conditions conditions;
  conditions.quality = 0.5 * std::erfc(1. / std::sqrt(2.)); // one deviation below the mean
  std::vector<Adjustment> list;
  const Strengths weak = adjusted(wood, conditions, {}, list).strengths;
  CHECK(weak.compression_L / wood.strengths.compression_L == Approx(1. - .18));
  CHECK(weak.tension_L / wood.strengths.tension_L == Approx(1. - .25));
  CHECK(weak.shear_LR / wood.strengths.shear_LR == Approx(1. - .14));
  CHECK(weak.compression_R / wood.strengths.compression_R == Approx(1. - .28));
  Material piece = wood;
  for (const auto &[variation, values] : varying_strengths(piece))
    for (double *value : values)
      *value *= 1. - variation.deviation;
  CHECK(piece.strengths.compression_L == Approx(weak.compression_L));
  CHECK(piece.strengths.tension_L == Approx(weak.tension_L));
  CHECK(piece.strengths.shear_LT == Approx(weak.shear_LT));
  CHECK(piece.strengths.tension_T == Approx(weak.tension_T));
  CHECK(piece.strengths.compression_T == Approx(weak.compression_T));
}
