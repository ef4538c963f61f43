#include "cases/reader/units.h"

#include <catch2/catch.hpp>

#include <cmath>
#include <vector>

using namespace limbwright;

TEST_CASE("Values are read as the shop writes them", "[quick]")
{
  constexpr double inch = 0.0254;      // exact
  constexpr double pound = 0.45359237; // exact, kg
  constexpr double g = 9.80665;        // exact, standard gravity
  constexpr double degree = 0.017453292519943295;
  struct Example
  {
    const char *text;
    Dimension dimension;
    double si;
  };
  const std::vector<Example> examples = {
      {"0.043 in", Dimension::length, 0.043 * inch},
      {"1 5/16 in", Dimension::length, 1.3125 * inch},
      {"1-5/16 in", Dimension::length, 1.3125 * inch},
      {"5/16in", Dimension::length, 0.3125 * inch},
      {"-1/2 in", Dimension::length, -0.5 * inch},
      {"-1 1/2 in", Dimension::length, -1.5 * inch},
      {"36 thou", Dimension::length, 0.036 * inch},
      {"28 in", Dimension::length, 28. * inch},
      {"2 ft", Dimension::length, 24. * inch},
      {"1.5e1 mm", Dimension::length, 0.015},
      {"+3 cm", Dimension::length, 0.03},
      {"1.8 thou/in", Dimension::taper, 0.0018},
      {"2 mm/m", Dimension::taper, 0.002},
      {"12 GPa", Dimension::stress, 12e9},
      {"2.013 Msi", Dimension::stress, 2.013e6 * pound * g / (inch * inch)},
      {"100 lb/in2", Dimension::stress, 100. * pound * g / (inch * inch)},
      {"45 lbf", Dimension::force, 45. * pound * g},
      {"45 lb", Dimension::force, 45. * pound * g},
      {"45 lbs", Dimension::force, 45. * pound * g},
      {"45 #", Dimension::force, 45. * pound * g},
      {"45#", Dimension::force, 45. * pound * g},
      {"2 lb", Dimension::mass, 2. * pound},
      {"16 oz", Dimension::mass, pound},
      {"7000 grain", Dimension::mass, pound},
      {"34 ft lb", Dimension::energy, 34. * 12. * inch * pound * g},
      {"34 ft-lbf", Dimension::energy, 34. * 12. * inch * pound * g},
      {"2.5 deg", Dimension::angle, 2.5 * degree},
      {"2.5 \xc2\xb0", Dimension::angle, 2.5 * degree},
      {"1 in 20", Dimension::angle, std::atan(0.05)},
      {"-1 in 12", Dimension::angle, -std::atan(1. / 12.)},
      {"44 lb/ft3", Dimension::density, 44. * pound / std::pow(12. * inch, 3)},
      {"0.7 g/cm3", Dimension::density, 700.},
      {"60 degC", Dimension::temperature, 333.15},
      {"300 J/m2", Dimension::energy_per_area, 300.},
      {"0.3 kJ/m^2", Dimension::energy_per_area, 300.},
      {"20 %", Dimension::ratio, 0.2},
      {"0.37", Dimension::ratio, 0.37},
      {"25 %", Dimension::any, 0.25},
  };
  for (const Example &example : examples)
  {
    const Quantity quantity = parse_quantity(example.text, example.dimension);
    INFO(example.text << ": " << quantity.error);
    CHECK(quantity.error.empty());
    CHECK(quantity.value == Approx(example.si).epsilon(1e-12));
  }
}

TEST_CASE("What a unit cannot be is refused with a reason", "[quick]")
{
  struct Refusal
  {
    const char *text;
    Dimension dimension;
    const char *fragment;
  };
  const std::vector<Refusal> refusals = {
      {"400 gr", Dimension::mass, "grains or grams"},
      {"45 lb", Dimension::any, "force or a mass"},
      {"45 #", Dimension::any, "force or a mass"},
      {"45", Dimension::force, "no unit"},
      {"", Dimension::length, "does not begin with a number"},
      {"in", Dimension::length, "does not begin with a number"},
      {"inf in", Dimension::length, "does not begin with a number"},
      {"1e999 in", Dimension::length, "does not begin with a number"},
      {"3 in since 1970", Dimension::length, "not understood"},
      {"3 log(re 1 m)", Dimension::length, "not understood"},
      {"3 in @ 5", Dimension::length, "not understood"},
      {"3 MPa m^0.5", Dimension::any, "not understood"},
      {"3 m^99", Dimension::any, "not understood"},
      {"3 rad", Dimension::taper, "does not measure"},
      {"3 %", Dimension::angle, "does not measure"},
      {"3 deg", Dimension::ratio, "does not measure"},
      {"1 in 20 in", Dimension::angle, "slope"},
      {"1 in 20", Dimension::length, "not understood"},
      {"1 J", Dimension::force, "does not measure"},
      {"3 \"", Dimension::length, "does not measure"},
  };
  for (const Refusal &refusal : refusals)
  {
    const Quantity quantity = parse_quantity(refusal.text, refusal.dimension);
    INFO(refusal.text << ": " << quantity.error);
    CHECK(quantity.error.find(refusal.fragment) != std::string::npos);
  }
  CHECK(parse_quantity(std::string(100000, '9') + " in", Dimension::length).error.find("too long") != std::string::npos);
}

TEST_CASE("Units of a table's head are scales without offset", "[quick]")
{
  CHECK(parse_unit("thou", Dimension::length).value == Approx(25.4e-6).epsilon(1e-12));
  CHECK(parse_unit("deg", Dimension::angle).value == Approx(0.017453292519943295).epsilon(1e-12));
  CHECK(parse_unit("degC", Dimension::temperature).error.find("offset") != std::string::npos);
  CHECK_FALSE(parse_unit("lbf", Dimension::length).error.empty());
}
