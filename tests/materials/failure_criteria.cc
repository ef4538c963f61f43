// Failure criteria at one point.

#include "materials/law/failure_criteria.h"

#include <catch2/catch.hpp>

#include <array>
#include <cmath>
#include <functional>
#include <limits>
#include <numbers>
#include <string>

using namespace limbwright;

namespace
{
struct NamedCriterion
{
  std::string name;
  std::function<double(const PlaneStress &, const PlaneStrengths &)> index;
};

const std::array<NamedCriterion, 7> criteria{{
    {"maximum stress", maximum_stress_index},
    {"Tsai-Wu", [](const PlaneStress &s, const PlaneStrengths &f) { return tsai_wu_index(s, f); }},
    {"Tsai-Wu without interaction", [](const PlaneStress &s, const PlaneStrengths &f) { return tsai_wu_index(s, f, 0.); }},
    {"Tsai-Hill", tsai_hill_index},
    {"Hoffman", hoffman_index},
    {"Hashin", hashin_index},
    {"Norris", norris_index},
}};

/// Kaw, Mechanics of Composite Materials, Examples 2.17 to 2.20 (book from memory), graphite/epoxy, MPa.
constexpr PlaneStrengths graphite_epoxy{1500., 1500., 40., 246., 68.};

/// White ash along and across the grain, MPa: Wood Handbook 2021 Table 5-3b (crushing 51.1, tension across 6.5, shear 13.2,
/// compression across at the proportional limit 8.0); tension along the grain derived from the bending strength.
constexpr PlaneStrengths white_ash{169.9, 51.1, 6.5, 8.0, 13.2};

/// Stress of the example for s = 1: sx = 2, sy = -3, txy = 4 turned into fibre axes at 60 degrees.
PlaneStress example_stress()
{
  const double angle = std::numbers::pi / 3., c = std::cos(angle), s = std::sin(angle);
  const double sx = 2., sy = -3., txy = 4.;
  return {c * c * sx + s * s * sy + 2. * c * s * txy, s * s * sx + c * c * sy - 2. * c * s * txy,
          c * s * (sy - sx) + (c * c - s * s) * txy};
}
} // namespace

TEST_CASE("Kaw's angle lamina: the stress at failure by each criterion", "[quick]")
{
  const PlaneStress s = example_stress();
  REQUIRE(s.s1 == Approx(1.714).margin(5e-4));
  REQUIRE(s.s2 == Approx(-2.714).margin(5e-4));
  REQUIRE(s.s12 == Approx(-4.165).margin(5e-4));

  // Kaw, Examples 2.17 to 2.20 (from memory, each recomputed apart from this code): the factor s in MPa at failure.
  CHECK(1. / maximum_stress_index(s, graphite_epoxy) == Approx(16.33).margin(0.005));
  CHECK(1. / tsai_hill_index(s, graphite_epoxy) == Approx(16.06).margin(0.005));
  CHECK(1. / tsai_wu_index(s, graphite_epoxy) == Approx(22.39).margin(0.005));
  CHECK(1. / tsai_wu_index(s, graphite_epoxy, 0.) == Approx(22.50).margin(0.005));
  CHECK(1. / hoffman_index(s, graphite_epoxy) == Approx(22.49).margin(0.005));

  // Tsai-Hill with the tensile strength across whatever the sign of s2, as the book first does.
  PlaneStrengths tensile = graphite_epoxy;
  tensile.compression_2 = tensile.tension_2;
  CHECK(1. / tsai_hill_index(s, tensile) == Approx(10.94).margin(0.005));

  // Hashin 1980 and Norris 1962 on the same stress, from their expressions written out.
  const double t = s.s12 / 68.;
  CHECK(hashin_index(s, graphite_epoxy) == Approx(std::sqrt(std::pow(s.s2 / 246., 2) + t * t)));
  CHECK(norris_index(s, graphite_epoxy) ==
        Approx(std::sqrt(std::pow(s.s1 / 1500., 2) + s.s1 * -s.s2 / (1500. * 246.) + std::pow(s.s2 / 246., 2) + t * t)));
}

TEST_CASE("quadratic criteria become von Mises for an isotropic solid", "[quick]")
{
  // Equal strengths f and shear strength f/sqrt(3): s1^2 - s1 s2 + s2^2 + 3 s12^2 = f^2 (von Mises 1913).
  const double f = 250.;
  const PlaneStrengths isotropic{f, f, f, f, f / std::sqrt(3.)};
  for (const PlaneStress &s : {PlaneStress{120., 120., 0.}, PlaneStress{120., -70., 40.}, PlaneStress{-30., -90., 10.}})
  {
    const double expected = std::sqrt(s.s1 * s.s1 - s.s1 * s.s2 + s.s2 * s.s2 + 3. * s.s12 * s.s12) / f;
    CHECK(tsai_wu_index(s, isotropic) == Approx(expected).epsilon(1e-12));
    CHECK(tsai_hill_index(s, isotropic) == Approx(expected).epsilon(1e-12));
    CHECK(hoffman_index(s, isotropic) == Approx(expected).epsilon(1e-12));
  }
}

TEST_CASE("every criterion gives one at each uniaxial strength", "[quick]")
{
  for (const auto &[name, index] : criteria)
    for (const PlaneStrengths &f : {graphite_epoxy, white_ash})
    {
      INFO(name);
      CHECK(index({f.tension_1, 0., 0.}, f) == Approx(1.).epsilon(1e-12));
      CHECK(index({-f.compression_1, 0., 0.}, f) == Approx(1.).epsilon(1e-12));
      CHECK(index({0., f.tension_2, 0.}, f) == Approx(1.).epsilon(1e-12));
      CHECK(index({0., -f.compression_2, 0.}, f) == Approx(1.).epsilon(1e-12));
      CHECK(index({0., 0., f.shear_12}, f) == Approx(1.).epsilon(1e-12));
    }
}

TEST_CASE("criteria are homogeneous and blind to the sign of shear", "[quick]")
{
  for (const auto &[name, index] : criteria)
    for (const double sign_1 : {1., -1.})
      for (const double sign_2 : {1., -1.})
      {
        INFO(name << " " << sign_1 << " " << sign_2);
        const PlaneStress s{sign_1 * 30., sign_2 * 2., 5.};
        const double reference = index(s, white_ash);
        CHECK(reference > 0.);
        CHECK(index({s.s1, s.s2, -s.s12}, white_ash) == Approx(reference).epsilon(1e-14));
        CHECK(index({3. * s.s1, 3. * s.s2, 3. * s.s12}, white_ash) == Approx(3. * reference).epsilon(1e-12));
        // the index is the reciprocal of the factor: the stress multiplied by 1/index stands at failure
        CHECK(index({s.s1 / reference, s.s2 / reference, s.s12 / reference}, white_ash) == Approx(1.).epsilon(1e-12));
      }
}

TEST_CASE("an unknown strength gives no index", "[quick]")
{
  const double unknown = std::numeric_limits<double>::quiet_NaN();
  for (const auto &[name, index] : criteria)
    for (int i = 0; i < 5; ++i)
    {
      INFO(name << ", strength " << i);
      std::array<double, 5> f{{169.9, 51.1, 6.5, 8.0, 13.2}};
      f[static_cast<std::size_t>(i)] = unknown;
      CHECK(std::isnan(index({10., 1., 1.}, {f[0], f[1], f[2], f[3], f[4]})));
    }
}

TEST_CASE("no stress, no index", "[quick]")
{
  for (const auto &[name, index] : criteria)
  {
    INFO(name);
    CHECK(index({0., 0., 0.}, white_ash) == 0.);
  }
}
