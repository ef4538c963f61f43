// Wood that yields in compression along the grain: curves, stress step and tangent.

#include "materials/law/crushing.h"
#include "materials/law/orthotropic.h"
#include "materials/law/piola_crushing.h"

#include <catch2/catch.hpp>

#include <cmath>
#include <vector>

using namespace limbwright;

namespace
{
constexpr double MPa = 1e6;

const CrushingLaw plateau{.yield = 40. * MPa, .strength = 40. * MPa};
const CrushingLaw hardening{.yield = 30. * MPa, .strength = 40. * MPa, .hardening_strain = 1.5e-3};
const CrushingLaw falling{.yield = 30. * MPa,
                          .strength = 40. * MPa,
                          .hardening_strain = 1.5e-3,
                          .falling = 1.1e9,
                          .fall_from = 4e-3,
                          .floor = 25. * MPa};

/// Sitka spruce, flat-sawn, order L R LR (Wood Handbook 2021, FPL-GTR-282, Tables 5-1 and 5-3).
Matrix3 spruce()
{
  return plane_stiffness({.E_L = 11.907e9,
                          .E_R = .92875e9,
                          .E_T = .512e9,
                          .G_LR = .76205e9,
                          .G_LT = .72633e9,
                          .G_RT = .03572e9,
                          .nu_LR = .372,
                          .nu_LT = .467,
                          .nu_RT = .435},
                         RingOrientation::flat, PlaneState::stress);
}

/// Composite midpoint rule.
double quadrature(const CrushingLaw &law, double to)
{
  constexpr int n = 200000;
  double sum = 0.;
  for (int i = 0; i < n; ++i)
    sum += flow_stress(law, to * (i + .5) / n) * to / n;
  return sum;
}
} // namespace

TEST_CASE("flow stress: yield at first, the plateau in the end, a fall where one is given", "[quick]")
{
  CHECK(flow_stress(plateau, 0.) == 40. * MPa);
  CHECK(flow_stress(plateau, .02) == 40. * MPa);
  CHECK(flow_stress_slope(plateau, .01) == 0.);
  CHECK(flow_stress(hardening, 0.) == 30. * MPa);
  CHECK(flow_stress(hardening, 1.5e-3) == Approx((40. - 10. / std::exp(1.)) * MPa));
  CHECK(flow_stress(hardening, .05) == Approx(40. * MPa));
  CHECK(flow_stress(falling, 3e-3) == flow_stress(hardening, 3e-3));
  CHECK(flow_stress(falling, 6e-3) == Approx(flow_stress(hardening, 4e-3) - 1.1e9 * 2e-3));
  CHECK(flow_stress(falling, .05) == 25. * MPa);
  CHECK(flow_stress_slope(falling, .05) == 0.);
  const double h = 1e-8;
  for (const CrushingLaw &law : {plateau, hardening, falling})
    for (const double a : {1e-4, 1e-3, 3e-3, 8e-3})
      CHECK(flow_stress_slope(law, a) ==
            Approx((flow_stress(law, a + h) - flow_stress(law, a - h)) / (2. * h)).epsilon(1e-5).margin(1.));
}

TEST_CASE("work of crushing is the integral of the flow stress", "[quick]")
{
  for (const CrushingLaw &law : {plateau, hardening, falling})
    for (const double a : {5e-4, 4e-3, 9e-3, .03})
      CHECK(dissipated(law, a) == Approx(quadrature(law, a)).epsilon(1e-7));
}

TEST_CASE("a bar shortened in a test bears the law's load over its first area", "[quick]")
{
  // Stress along the grain alone. What is missing is the stretch of the elastic part, which is left out: load / p = sqrt(1 - 2 s
  // / (E m^2)), s = p/m, m the plastic stretch, so p / (E m^3) of the load.
  Matrix3 C = Matrix3::Zero();
  C.diagonal() << 11e9, 1e9, .7e9;
  const double E = C(0, 0);
  for (const CrushingLaw &law : {plateau, hardening, falling})
    for (const double stretch : {.993, .99, .98, .95, .9, .7})
    {
      const CrushedStress at = crush(law, C, Eigen::Vector3d(.5 * (stretch * stretch - 1.), 0., 0.), 0.);
      const double load = -stretch * at.stress[0], m = std::sqrt(1. - 2. * at.plastic_strain), p = flow_stress(law, 1. - m);
      INFO("yield " << law.yield << ", falling " << law.falling << ", stretch " << stretch);
      CHECK(load / p < 1.);
      CHECK(load / p > 1. - 1.05 * p / (E * m * m * m));
      CHECK(m - stretch == Approx(load / (E * m * m)).epsilon(.05)); // the elastic shortening
    }
}

TEST_CASE("the load of a bar on its plateau all but holds as it is shortened", "[quick]")
{
  // By the same: it falls by 3 p^2 / (E m^4) for each unit of stretch. A plateau of the second Piola-Kirchhoff stress would let
  // it fall by p, a hundred times that.
  Matrix3 C = Matrix3::Zero();
  C.diagonal() << 11e9, 1e9, .7e9;
  const auto load = [&](double stretch)
  { return -stretch * crush(plateau, C, Eigen::Vector3d(.5 * (stretch * stretch - 1.), 0., 0.), 0.).stress[0]; };
  for (const double stretch : {.99, .97, .9})
    CHECK((load(stretch + 1e-5) - load(stretch)) / 1e-5 / plateau.strength <
          3.2 * plateau.strength / C(0, 0) / std::pow(stretch, 4));
}

TEST_CASE("crushed stress lies on the flow stress, and unloads with the elastic stiffness", "[quick]")
{
  const Matrix3 C = spruce();
  for (const CrushingLaw &law : {plateau, hardening, falling})
  {
    const Eigen::Vector3d strain(-.009, .002, .003);
    const CrushedStress crushed = crush(law, C, strain, 0.);
    REQUIRE(crushed.plastic_strain > 1e-3);
    CHECK(-crushed.stress[0] == Approx(piola_flow(law, crushed.plastic_strain).stress).epsilon(1e-12));

    const Eigen::Vector3d back(.004, -.001, .001);
    const CrushedStress unloaded = crush(law, C, strain + back, crushed.plastic_strain);
    CHECK(unloaded.plastic_strain == crushed.plastic_strain);
    CHECK(unloaded.tangent == C);
    CHECK((unloaded.stress - crushed.stress - C * back).norm() < 1e-9 * unloaded.stress.norm());

    // The same strain again does not crush the wood again.
    const CrushedStress again = crush(law, C, strain, crushed.plastic_strain);
    CHECK(again.plastic_strain == Approx(crushed.plastic_strain).epsilon(1e-12));
  }
  const CrushedStress tension = crush(hardening, C, Eigen::Vector3d(.02, 0., 0.), 0.);
  CHECK(tension.plastic_strain == 0.);
  CHECK(tension.stress == C * Eigen::Vector3d(.02, 0., 0.));
}

TEST_CASE("a step of any size has its root, and its tangent is the derivative of its stress", "[quick]")
{
  const Matrix3 C = spruce();
  const double h = 1e-8;
  for (const CrushingLaw &law : {plateau, hardening, falling})
    for (const double before : {0., 2e-3, 6e-3})
      for (const double e_L : {-.003, -.0055, -.008, -.015, -.04, -.3})
      {
        const Eigen::Vector3d strain(e_L, .1 * e_L, -.3 * e_L);
        const CrushedStress at = crush(law, C, strain, before);
        INFO("yield " << law.yield << ", falling " << law.falling << ", before " << before << ", strain " << e_L);
        CHECK(at.plastic_strain >= before);
        CHECK(-at.stress[0] <= piola_flow(law, at.plastic_strain).stress * (1. + 1e-10));
        Matrix3 difference;
        for (int j = 0; j < 3; ++j)
        {
          const Eigen::Vector3d step = h * Eigen::Vector3d::Unit(j);
          difference.col(j) =
              (crush(law, C, strain + step, before).stress - crush(law, C, strain - step, before).stress) / (2. * h);
        }
        CHECK((difference - at.tangent).norm() < 1e-5 * C.norm());
      }
}

TEST_CASE("going on and returning gives back the elastic work only", "[quick]")
{
  // Stress along the grain alone: strain is driven to -1.2 % and let go until the stress is nought; the work done on the way is
  // the work of crushing.
  Matrix3 C = Matrix3::Zero();
  C.diagonal() << 11e9, 1e9, .7e9;
  for (const CrushingLaw &law : {plateau, hardening, falling})
  {
    double a = 0., work = 0., stress = 0.;
    constexpr int n = 20000;
    const double to = -.012;
    for (int i = 1; i <= n; ++i)
    {
      const CrushedStress next = crush(law, C, Eigen::Vector3d(to * i / n, 0., 0.), a);
      work += .5 * (stress + next.stress[0]) * to / n;
      a = next.plastic_strain;
      stress = next.stress[0];
    }
    const double given_back = .5 * stress * stress / C(0, 0);
    CHECK(work - given_back == Approx(piola_dissipated(law, a)).epsilon(1e-6));
  }
}
