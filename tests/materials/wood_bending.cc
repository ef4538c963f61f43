// Wood in bending with a yielding belly, and strength at an angle to the grain.

#include "materials/law/wood_bending.h"
#include "materials/material.h"

#include <catch2/catch.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <utility>

using namespace limbwright;

namespace
{
constexpr double MPa = 1e6;
constexpr double degree = std::numbers::pi / 180.;

/// [1] apparent bending strength over f_c of the bar of n fibres, found by force balance and bisection, without the closed form;
/// the belly strain at that point [f_c/E] in the second member. The back fibre stands at its strength r.
std::pair<double, double> fibre_bar(double r, int n_fibres)
{
  const auto sums = [&](double axis) // distance of the neutral axis below the back, depth 1
  {
    const double curvature = r / axis;
    double force = 0., moment = 0.;
    for (int i = 0; i < n_fibres; ++i)
    {
      const double y = (i + 0.5) / n_fibres;
      const double stress = std::max(curvature * (axis - y), -1.);
      force += stress / n_fibres;
      moment += stress * (0.5 - y) / n_fibres;
    }
    return std::make_pair(force, moment);
  };
  double low = 0.01, high = 0.99; // the force grows with the depth of the tension zone
  for (int i = 0; i < 100; ++i)
  {
    const double middle = 0.5 * (low + high);
    (sums(middle).first > 0. ? high : low) = middle;
  }
  return {6. * sums(low).second, r / low * (1. - low)};
}
} // namespace

TEST_CASE("apparent bending strength over crushing strength", "[quick]")
{
  // f_c (3r-1)/(r+1): Norris 1962, FPL Report 2255, has the assumptions; the values were computed apart from this code.
  const std::array<std::pair<double, double>, 5> table{
      {{1.0, 1.0000}, {1.5, 1.4000}, {2.0, 1.6667}, {2.384, 1.8180}, {3.0, 2.0000}}};
  for (const auto &[r, ratio] : table)
    CHECK(apparent_modulus_of_rupture(40. * MPa, r * 40. * MPa) / (40. * MPa) == Approx(ratio).margin(6e-5));
}

TEST_CASE("closed forms agree with a bar of many fibres", "[quick]")
{
  for (const double r : {0.8, 1.0, 1.5, 2.384, 3.5})
  {
    const auto [strength, belly_strain] = fibre_bar(r, 20000);
    INFO("r = " << r);
    CHECK(apparent_modulus_of_rupture(1., r) == Approx(strength).epsilon(1e-4));
    CHECK(crushing_strain(1., r, 1.) == Approx(belly_strain).epsilon(1e-4));
  }
}

TEST_CASE("worked bar: f_c 40, X_T 90 MPa, E 11 GPa", "[quick]")
{
  // Computed apart from this code: belly strain 0.011023, apparent bending strength 70.7692 MPa.
  CHECK(crushing_strain(40. * MPa, 90. * MPa, 11e9) == Approx(0.011023).margin(5e-7));
  CHECK(apparent_modulus_of_rupture(40. * MPa, 90. * MPa) / MPa == Approx(70.7692).margin(5e-5));
  CHECK(crushing_index(0.011023, 40. * MPa, 90. * MPa, 11e9) == Approx(1.).margin(5e-5));
  CHECK(set_index(0.011023, 40. * MPa, 11e9) == Approx(0.011023 / 0.0036364).epsilon(1e-4));
}

TEST_CASE("crushing index at 0.9 % belly strain", "[quick]")
{
  // Crushing strength and MOE: Wood Handbook 2021 (FPL-GTR-282) Table 5-3b, 12 % moisture; yew from the Forest Products
  // Laboratory fact sheet. E_L here is MOE + 10 % (Table 5-1 footnote); X_T follows from the bending strength, at most 1.6 times
  // it. The indices were computed apart from this code, to two digits.
  struct Wood
  {
    const char *name;
    double compression_L, modulus_of_rupture, modulus_of_elasticity, index;
  };
  const std::array<Wood, 6> woods{{{"Sitka spruce", 38.68, 70.33, 10825., 0.83},
                                   {"Douglas-fir", 49.85, 85.49, 13445., 0.98},
                                   {"black locust", 70.19, 133.76, 14134., 0.50},
                                   {"Pacific yew", 55.80, 105.00, 9310., 0.43},
                                   {"white ash", 51.09, 106.18, 11997., 0.39},
                                   {"shagbark hickory", 63.50, 139.27, 14893., 0.35}}};
  for (const Wood &wood : woods)
  {
    const double m = wood.modulus_of_rupture / wood.compression_L;
    const double tension_L = std::min((m + 1.) / (3. - m) * wood.compression_L, 1.6 * wood.modulus_of_rupture);
    INFO(wood.name);
    CHECK(crushing_index(0.009, wood.compression_L, tension_L, 1.1 * wood.modulus_of_elasticity) ==
          Approx(wood.index).margin(0.0051));
  }
}

TEST_CASE("Hankinson's formula for Sitka spruce", "[quick]")
{
  // Hankinson 1921; strengths in MPa, angle in degrees, values computed apart from this code.
  const std::array<std::pair<double, double>, 5> compression{
      {{5, 36.290}, {10, 30.664}, {15, 24.469}, {30, 12.212}, {45, 7.250}}};
  for (const auto &[angle, strength] : compression)
    CHECK(hankinson(38.68, 4.00, angle * degree, 2.) == Approx(strength).margin(6e-4));

  const double one_in_ten = std::atan(0.1);
  CHECK(hankinson(90., 2.55, one_in_ten, 2.) == Approx(67.19).margin(0.006));
  CHECK(hankinson(90., 2.55, one_in_ten, 1.5) == Approx(42.85).margin(0.006));

  CHECK(hankinson(90., 2.55, 0., 2.) == Approx(90.));
  CHECK(hankinson(90., 2.55, 90. * degree, 2.) == Approx(2.55));
  CHECK(hankinson(90., 2.55, -one_in_ten, 1.5) == Approx(hankinson(90., 2.55, one_in_ten, 1.5)));
}

TEST_CASE("strengths of the side view follow the ring orientation", "[quick]")
{
  Material wood;
  wood.strengths = {.tension_R = 1., .compression_R = 2., .tension_T = 3., .compression_T = 4., .shear_LR = 5., .shear_LT = 6.};
  CHECK(tension_through_thickness(wood, RingOrientation::flat) == 1.);
  CHECK(tension_through_thickness(wood, RingOrientation::edge) == 3.);
  CHECK(compression_through_thickness(wood, RingOrientation::flat) == 2.);
  CHECK(compression_through_thickness(wood, RingOrientation::edge) == 4.);
  CHECK(shear_in_side_view(wood, RingOrientation::flat) == 5.);
  CHECK(shear_in_side_view(wood, RingOrientation::edge) == 6.);
  CHECK(std::isnan(wood.strengths.tension_L)); // a strength that nobody gave is unknown, not zero
}
