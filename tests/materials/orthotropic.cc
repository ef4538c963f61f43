// Elastic constants at one point. Reference numbers were computed apart from this code from the constants cited below.

#include "materials/law/orthotropic.h"

#include <Eigen/Eigenvalues>
#include <Eigen/LU>

#include <catch2/catch.hpp>

#include <array>
#include <cmath>
#include <numbers>
#include <utility>

using namespace limbwright;

namespace
{
constexpr double GPa = 1e9;
constexpr double MPa = 1e6;
constexpr double degree = std::numbers::pi / 180.;

/// Modulus of elasticity 1.57e6 lb/in2 of the Wood Handbook 2021 (FPL-GTR-282) Table 5-3b plus 10 %, ratios of its Tables 5-1
/// and 5-2.
constexpr double spruce_E_L = 1.1 * 1.57e6 * 6894.757;
const OrthotropicConstants sitka_spruce{
    spruce_E_L, 0.078 * spruce_E_L, 0.043 * spruce_E_L, 0.064 * spruce_E_L, 0.061 * spruce_E_L, 0.003 * spruce_E_L, 0.372, 0.467,
    0.435};

/// Soden, Hinton and Kaddour 1998, Compos. Sci. Technol. 58, 1011: E-glass/epoxy, fibre share 0.60; nu_23 from memory.
const OrthotropicConstants glass_ud{45.6 * GPa,       16.2 * GPa, 16.2 * GPa, 5.83 * GPa, 5.83 * GPa,
                                    16.2 / 2.8 * GPa, 0.278,      0.278,      0.40};

/// Worst nu_RT among the common hardwoods, 0.875, with E_R/E_T = 1.77.
OrthotropicConstants hardwood_with_large_nu_RT()
{
  OrthotropicConstants c = sitka_spruce;
  c.E_T = c.E_R / 1.77;
  c.nu_RT = 0.875;
  return c;
}
} // namespace

TEST_CASE("stiffness of Sitka spruce and of unidirectional glass", "[quick]")
{
  // The reference was computed with moduli rounded to four or five digits, hence the tolerance.
  const Matrix6 wood = stiffness(sitka_spruce) / GPa;
  CHECK(wood(0, 0) == Approx(12.27244).epsilon(3e-5));
  CHECK(wood(1, 1) == Approx(1.05874).epsilon(3e-5));
  CHECK(wood(2, 2) == Approx(0.58283).epsilon(3e-5));
  CHECK(wood(0, 1) == Approx(0.51727).epsilon(3e-5));
  CHECK(wood(0, 2) == Approx(0.37049).epsilon(3e-5));
  CHECK(wood(1, 2) == Approx(0.26428).epsilon(3e-5));
  CHECK(wood(3, 3) == Approx(0.03572).margin(5e-6));
  CHECK(wood(4, 4) == Approx(0.72634).epsilon(3e-5));
  CHECK(wood(5, 5) == Approx(0.76206).epsilon(3e-5));

  const Matrix6 glass = stiffness(glass_ud) / GPa;
  CHECK(glass(0, 0) == Approx(50.19376).epsilon(1e-6));
  CHECK(glass(0, 1) == Approx(8.26216).epsilon(1e-6));
  CHECK(glass(1, 1) == Approx(20.64571).epsilon(1e-6));
  CHECK(glass(1, 2) == Approx(9.07428).epsilon(1e-6));
  CHECK(glass(3, 3) == Approx(5.78571).epsilon(1e-6));
}

TEST_CASE("stiffness is the symmetric inverse of compliance", "[quick]")
{
  for (const OrthotropicConstants &constants : {sitka_spruce, glass_ud, hardwood_with_large_nu_RT()})
  {
    const Matrix6 product = stiffness(constants) * compliance(constants);
    CHECK((product - Matrix6::Identity()).norm() < 1e-12);
    CHECK(stiffness(constants) == stiffness(constants).transpose());
    CHECK(compliance(constants) == compliance(constants).transpose());
  }
}

TEST_CASE("modulus at an angle to the grain", "[quick]")
{
  // Textbook transformation of S_11; angle in degrees, modulus in MPa.
  const std::array<std::pair<double, double>, 7> spruce{
      {{0, 11907.}, {5, 10846.4}, {10, 8582.0}, {15, 6408.2}, {30, 2866.5}, {45, 1659.5}, {90, 928.8}}};
  for (const auto &[angle, modulus] : spruce)
    CHECK(off_axis_modulus(sitka_spruce.E_L, sitka_spruce.E_R, sitka_spruce.G_LR, sitka_spruce.nu_LR, angle * degree) / MPa ==
          Approx(modulus).margin(0.4));

  const std::array<std::pair<double, double>, 7> glass{
      {{0, 45600.}, {5, 43854.6}, {10, 39458.7}, {15, 34100.0}, {30, 21706.8}, {45, 16461.5}, {90, 16200.}}};
  for (const auto &[angle, modulus] : glass)
    CHECK(off_axis_modulus(glass_ud.E_L, glass_ud.E_R, glass_ud.G_LR, glass_ud.nu_LR, angle * degree) / MPa ==
          Approx(modulus).margin(0.051));
}

TEST_CASE("off-axis modulus agrees with a rotated compliance", "[quick]")
{
  // Strain along n under unit stress along n, from the three-dimensional compliance: a path that shares no formula with the
  // other.
  const double angle = 0.37, c = std::cos(angle), s = std::sin(angle);
  Eigen::Matrix<double, 6, 1> stress;
  stress << c * c, s * s, 0., 0., 0., c * s;
  const Eigen::Matrix<double, 6, 1> strain = compliance(sitka_spruce) * stress;
  const double along = c * c * strain(0) + s * s * strain(1) + c * s * strain(5);
  CHECK(off_axis_modulus(sitka_spruce.E_L, sitka_spruce.E_R, sitka_spruce.G_LR, sitka_spruce.nu_LR, angle) ==
        Approx(1. / along).epsilon(1e-12));
}

TEST_CASE("sound constants are accepted, also with a Poisson ratio above one half", "[quick]")
{
  CHECK(violated_conditions(sitka_spruce).empty());
  CHECK(violated_conditions(glass_ud).empty());

  // sqrt(1.77) = 1.33 is the limit here, so 0.875 is legal, though an isotropic solid would stop at 0.5.
  const OrthotropicConstants hardwood = hardwood_with_large_nu_RT();
  CHECK(violated_conditions(hardwood).empty());
  CHECK(Eigen::SelfAdjointEigenSolver<Matrix6>(stiffness(hardwood)).eigenvalues().minCoeff() > 0.);
}

TEST_CASE("unsound constants are refused with the inequality named", "[quick]")
{
  SECTION("Poisson ratio too large for its pair of moduli")
  {
    OrthotropicConstants c = sitka_spruce;
    c.nu_RT = 1.4; // limit sqrt(0.078/0.043) = 1.3468
    const auto violated = violated_conditions(c);
    REQUIRE_FALSE(violated.empty());
    CHECK_THAT(violated.front(), Catch::Contains("nu_RT") && Catch::Contains("sqrt(E_R/E_T) = 1.3468") && Catch::Contains("1.4"));
  }
  SECTION("ratios given the wrong way round")
  {
    OrthotropicConstants c = sitka_spruce;
    std::swap(c.E_L, c.E_R);
    c.nu_LR = 0.372;
    const auto violated = violated_conditions(c);
    REQUIRE_FALSE(violated.empty());
    CHECK_THAT(violated.front(), Catch::Contains("nu_LR"));
  }
  SECTION("every pair sound, the determinant is not")
  {
    OrthotropicConstants c{1. * GPa, 1. * GPa, 1. * GPa, 1. * GPa, 1. * GPa, 1. * GPa, 0.6, 0.6, 0.6};
    const auto violated = violated_conditions(c);
    REQUIRE(violated.size() == 1);
    CHECK_THAT(violated.front(), Catch::Contains("2 nu_RL nu_TR nu_LT") && Catch::Contains("-0.512")); // 1 - 3 0.36 - 2 0.216
    CHECK(Eigen::SelfAdjointEigenSolver<Matrix6>(stiffness(c)).eigenvalues().minCoeff() < 0.);
  }
  SECTION("modulus not positive, or missing")
  {
    OrthotropicConstants c = sitka_spruce;
    c.G_LT = -0.7 * GPa;
    REQUIRE(violated_conditions(c).size() == 1);
    CHECK_THAT(violated_conditions(c).front(), Catch::Contains("G_LT = -0.7 GPa"));
    c.G_LT = std::nan("");
    CHECK_THAT(violated_conditions(c).front(), Catch::Contains("G_LT"));
  }
}

TEST_CASE("plane stress stiffness is the inverse of the compliance of the side view", "[quick]")
{
  for (const OrthotropicConstants &c : {sitka_spruce, glass_ud, hardwood_with_large_nu_RT()})
    for (const RingOrientation ring : {RingOrientation::flat, RingOrientation::edge})
    {
      const bool flat = ring == RingOrientation::flat;
      const double E_N = flat ? c.E_R : c.E_T;
      const double nu = flat ? c.nu_LR : c.nu_LT;
      Eigen::Matrix2d block;
      block << 1. / c.E_L, -nu / c.E_L, -nu / c.E_L, 1. / E_N;
      const Eigen::Matrix2d expected = block.inverse();

      const Matrix3 plane = plane_stiffness(c, ring, PlaneState::stress);
      CHECK((plane.topLeftCorner<2, 2>() - expected).norm() < 1e-12 * expected.norm());
      CHECK(plane(2, 2) == Approx(flat ? c.G_LR : c.G_LT));
      CHECK(plane(0, 2) == 0.);
      CHECK(plane(1, 2) == 0.);
    }
}

TEST_CASE("plane strain is stiffer than plane stress", "[quick]")
{
  for (const OrthotropicConstants &c : {sitka_spruce, glass_ud})
    for (const RingOrientation ring : {RingOrientation::flat, RingOrientation::edge})
    {
      const Matrix3 difference = plane_stiffness(c, ring, PlaneState::strain) - plane_stiffness(c, ring, PlaneState::stress);
      const auto eigenvalues = Eigen::SelfAdjointEigenSolver<Matrix3>(difference).eigenvalues();
      CHECK(eigenvalues(2) > 1e-3 * c.E_R);
      CHECK(eigenvalues(0) > -1e-12 * c.E_L); // the width direction takes away a matrix of rank one
      CHECK(difference(0, 0) > 0.);
      CHECK(difference(1, 1) > 0.);
      CHECK(difference(2, 2) == 0.);
    }
  // Isotropic solid, any textbook: plane strain E (1-nu)/((1+nu)(1-2 nu)), plane stress E/(1-nu^2).
  const double nu = 0.3, E = 10. * GPa, G = E / 2.6;
  const OrthotropicConstants isotropic{E, E, E, G, G, G, nu, nu, nu};
  CHECK(plane_stiffness(isotropic, RingOrientation::flat, PlaneState::strain)(0, 0) ==
        Approx(E * (1. - nu) / ((1. + nu) * (1. - 2. * nu))));
  CHECK(plane_stiffness(isotropic, RingOrientation::flat, PlaneState::stress)(0, 0) == Approx(E / (1. - nu * nu)));
}
