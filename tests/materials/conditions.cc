// Wood under other conditions than those of the standard tests.

#include "materials/conditions.h"

#include <catch2/catch.hpp>

#include <algorithm>
#include <array>
#include <cmath>

using namespace limbwright;

namespace
{
constexpr double MPa = 1e6;

/// White ash, Wood Handbook 2021 (FPL-GTR-282), Tables 5-3b and 5-13.
Material ash()
{
  Material wood;
  wood.name = "ash";
  wood.constants = {12.67e9, 1.584e9, 1.014e9, 1.381e9, .9757e9, .3801e9, .371, .44, .684};
  wood.strengths = {.tension_L = 169.9 * MPa,
                    .compression_L = 51.09 * MPa,
                    .tension_R = 6.481 * MPa,
                    .compression_R = 7.998 * MPa,
                    .tension_T = 6.481 * MPa,
                    .compression_T = 7.998 * MPa,
                    .shear_LR = 13.17 * MPa,
                    .shear_LT = 13.17 * MPa,
                    .shear_RT = 3.029 * MPa};
  wood.modulus_of_rupture = 106.2 * MPa;
  wood.modulus_of_elasticity = 12e9;
  wood.further = {{"green_compression_L", 27.51 * MPa},
                  {"green_modulus_of_elasticity", 9.928e9},
                  {"green_modulus_of_rupture", 65.5 * MPa},
                  {"green_shear", 9.308 * MPa},
                  {"moisture_intersection", .24}};
  for (const char *key :
       {"E_L", "E_R", "G_LR", "compression_L", "tension_L", "shear_LR", "tension_R", "compression_R", "modulus_of_rupture"})
    wood.sources[key] = {Provenance::table, "", "12 % moisture"};
  return wood;
}

const StressedSize half_inch{.5 * .0254, 28. * .0254};
} // namespace

TEST_CASE("moisture: the Handbook's formula and its checks", "[quick]")
{
  // White ash, modulus of rupture 103 and 66 MPa, M_p 24 %: 119.5 MPa at 8 % (Wood Handbook ch. 5, worked example).
  CHECK(at_moisture(103., 66., .24, .08) == Approx(119.4726).margin(1e-4));
  // Sitka spruce, crushing 5610 and 2670 psi, M_p 27 %, at 10 %.
  CHECK(at_moisture(5610., 2670., .27, .10) == Approx(6193.8).margin(.05));
  // Shagbark hickory, M_p 25 %: computed apart from this code from the Handbook's Table 5-3 in psi.
  for (const auto &[moisture, modulus, crushing] :
       {std::array{.06, 1.1587, 1.3805}, std::array{.08, 1.1032, 1.2398}, std::array{.10, 1.0503, 1.1135}})
  {
    CHECK(at_moisture(2.16, 1.57, .25, moisture) / 2.16 == Approx(modulus).margin(1e-4));
    CHECK(at_moisture(9210., 4580., .25, moisture) / 9210. == Approx(crushing).margin(1e-4));
  }
  CHECK(at_moisture(103., 66., .24, .12) == Approx(103.));
  CHECK(at_moisture(103., 66., .24, .24) == Approx(66.));
  CHECK(at_moisture(103., 66., .24, .30) == 66.);
}

TEST_CASE("size, time and quality", "[quick]")
{
  CHECK(size_factor(half_inch) == Approx(.917).margin(5e-4));
  CHECK(size_factor({.25 * .0254, 28. * .0254}) > size_factor(half_inch)); // thinner is stronger

  CHECK(duration_factor(300.) == 1.);
  CHECK(duration_factor(30.) == Approx(1.08));
  // Between the line of Wood 1947, 90.4 - 6.3 log10(hours), and his curve of 1951, both in % of the strength.
  for (const double seconds : {1., 2., 10.})
  {
    CHECK(duration_factor(seconds) > .01 * (90.4 - 6.3 * std::log10(seconds / 3600.)));
    CHECK(duration_factor(seconds) < .01 * (18.3 + 108.4 * std::pow(seconds, -.0464)));
  }

  CHECK(normal_quantile(.5) == Approx(0.).margin(1e-9));
  CHECK(normal_quantile(.05) == Approx(-1.6448536).margin(1e-6));
  CHECK(normal_quantile(.975) == Approx(1.9599640).margin(1e-6));
}

TEST_CASE("dry wood gains in crushing, hardly in tension; the list says what was done", "[quick]")
{
  std::vector<Adjustment> list;
  const Material dry = adjusted(ash(), {.moisture = .06}, half_inch, list), wood = ash();
  const double crushing = dry.strengths.compression_L / wood.strengths.compression_L;
  CHECK(crushing == Approx(std::pow(51.09 / 27.51, .5)));
  CHECK(dry.constants.E_L / wood.constants.E_L == Approx(std::pow(12. / 9.928, .5)));
  CHECK(dry.modulus_of_elasticity / wood.modulus_of_elasticity == Approx(dry.constants.E_L / wood.constants.E_L));
  CHECK(dry.strengths.tension_L / wood.strengths.tension_L == Approx(1.08));
  CHECK(dry.constants.G_LR / wood.constants.G_LR == Approx(1.2));
  CHECK(dry.further == wood.further);
  CHECK(violated_conditions(dry.constants).empty());
  const auto of_crushing =
      std::find_if(list.begin(), list.end(), [](const Adjustment &a) { return a.properties == "compression_L"; });
  REQUIRE(of_crushing != list.end());
  CHECK(of_crushing->factor == Approx(crushing));
  CHECK(of_crushing->cause == "moisture");
  for (const Adjustment &adjustment : list)
    CHECK_FALSE(adjustment.source.empty());
}

TEST_CASE("every factor reaches its property, and they multiply", "[quick]")
{
  std::vector<Adjustment> list;
  const Material wood = ash();
  const Material used = adjusted(wood, {.temperature = 323.15, .seconds = 3., .quality = .05, .size = true}, half_inch, list);
  const double time = 1.16, z = -1.6448536;
  CHECK(used.constants.E_L / wood.constants.E_L == Approx(.93));
  CHECK(used.strengths.compression_L / wood.strengths.compression_L == Approx(.75 * time * (1. + z * .18)));
  CHECK(used.strengths.tension_L / wood.strengths.tension_L == Approx(.96 * time * (1. + z * .25) * size_factor(half_inch)));
  CHECK(used.strengths.shear_LR / wood.strengths.shear_LR == Approx(.75 * time * (1. + z * .14)));
  // The product of the list's factors for a key is what has become of it.
  double product = 1.;
  for (const Adjustment &adjustment : list)
    if (adjustment.properties.find("compression_L") != std::string::npos)
      product *= adjustment.factor;
  CHECK(used.strengths.compression_L / wood.strengths.compression_L == Approx(product));
  const auto law = crushing_law(used);
  REQUIRE(law);
  CHECK(law->yield / law->strength == Approx(crushing_law(wood)->yield / crushing_law(wood)->strength));
}

TEST_CASE("without conditions nothing changes; without data it is said", "[quick]")
{
  std::vector<Adjustment> list;
  CHECK(adjusted(ash(), {}, half_inch, list).strengths.compression_L == ash().strengths.compression_L);
  CHECK(list.empty());
  CHECK(adjusted(ash(), {.temperature = 293.15}, half_inch, list).constants.E_L == ash().constants.E_L);
  CHECK(list.empty());

  Material wood = ash();
  wood.further.clear();
  CHECK(adjusted(wood, {.moisture = .06}, half_inch, list).strengths.compression_L == wood.strengths.compression_L);
  REQUIRE(list.size() == 1);
  CHECK(list[0].factor == 1.);

  list.clear();
  wood = ash();
  wood.sources["E_L"].conditions = ""; // measured by the maker on the piece
  const Material own = adjusted(wood, {.moisture = .06}, half_inch, list);
  CHECK(own.constants.E_L == wood.constants.E_L);
  CHECK(own.constants.G_LR == wood.constants.G_LR);
  CHECK(own.strengths.compression_L > 1.2 * wood.strengths.compression_L);

  list.clear();
  Material glass = ash();
  glass.kind = MaterialKind::composite;
  CHECK(adjusted(glass, {.moisture = .06, .seconds = 2., .size = true}, half_inch, list).strengths.tension_L ==
        glass.strengths.tension_L);
  CHECK(list.empty());
  CHECK(adjusted(glass, {.temperature = 310.}, half_inch, list).constants.E_L == glass.constants.E_L);
  CHECK(list.size() == 1);
}

TEST_CASE("glue stays as given over the temperature, and is told where it softens", "[quick]")
{
  Adhesive glue;
  glue.name = "glue";
  glue.further["softening_temperature"] = 323.15;
  std::vector<Adjustment> list;
  CHECK_FALSE(softens(glue, {}, list));
  CHECK_FALSE(softens(glue, {.temperature = 293.15}, list));
  CHECK(list.empty());
  CHECK_FALSE(softens(glue, {.temperature = 318.}, list));
  CHECK(softens(glue, {.temperature = 328.}, list));
  REQUIRE(list.size() == 2);
  CHECK(list[0].factor == 1.);
  CHECK(list[1].source.find("softens") != std::string::npos);
}
