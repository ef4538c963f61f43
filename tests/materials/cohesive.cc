// A bond that softens and parts: energies, irreversibility, contact, tangent.

#include "materials/bond_strength.h"

#include <catch2/catch.hpp>

#include <cmath>
#include <functional>
#include <vector>

using namespace limbwright;

namespace
{
// Stiffnesses, strengths and energies all unequal, as in a glue line between woods.
CohesiveBond glue()
{
  return {1.2e13, 4.4e12, 6e6, 12e6, 300., 1000., 2.1};
}

struct Walk
{
  double work = 0.; // of the tractions [J/m2], trapezoids
  double due = 0.;  // G_c at the mix of each step's middle, times the growth of the fraction
  CohesiveState state{};
  Eigen::Vector2d place = Eigen::Vector2d::Zero(), traction = Eigen::Vector2d::Zero();
};

void walk(const CohesiveBond &bond, Walk &walk, const Eigen::Vector2d &to, int n_steps, double relaxation = 1.)
{
  const Eigen::Vector2d from = walk.place;
  for (int i = 1; i <= n_steps; ++i)
  {
    const Eigen::Vector2d d = from + (to - from) * (static_cast<double>(i) / n_steps), middle = 0.5 * (d + walk.place);
    const CohesiveResponse response = cohesive_step(bond, walk.state, d.x(), d.y(), relaxation);
    walk.work += 0.5 * (walk.traction + response.traction).dot(d - walk.place);
    const double normal = bond.normal_stiffness * std::pow(std::max(0., middle.x()), 2),
                 shear = bond.shear_stiffness * middle.y() * middle.y();
    if (normal + shear > 0.)
      walk.due += fracture_energy(bond, shear / (normal + shear)) * (response.state.fraction - walk.state.fraction);
    walk.state = response.state;
    walk.traction = response.traction;
    walk.place = d;
  }
}

// Unit direction in which the share of sliding is B.
Eigen::Vector2d direction(const CohesiveBond &bond, double share)
{
  return Eigen::Vector2d(std::sqrt((1. - share) / bond.normal_stiffness), std::sqrt(share / bond.shear_stiffness)).normalized();
}
} // namespace

TEST_CASE("A bond pulled at a constant mix takes its fracture energy, each way its share", "[quick]")
{
  const CohesiveBond bond = glue();
  REQUIRE(unsound(bond).empty());
  for (const double share : {0., 0.1, 0.3, 0.5, 0.8, 1.})
  {
    const Eigen::Vector2d e = direction(bond, share);
    Walk way;
    double opening_work = 0., largest = 0.;
    constexpr int n_steps = 20000;
    const double far = 400e-6;
    for (int i = 1; i <= n_steps; ++i)
    {
      const Eigen::Vector2d before = way.traction, last = way.place;
      walk(bond, way, e * (far * i / n_steps), 1);
      opening_work += 0.5 * (before.x() + way.traction.x()) * (way.place.x() - last.x());
      largest = std::max(largest, std::hypot(way.traction.x() / bond.normal_strength, way.traction.y() / bond.shear_strength));
    }
    INFO("share of sliding " << share);
    const double G = 300. + 700. * std::pow(share, 2.1);
    CHECK(way.state.fraction == 1.);
    CHECK(way.traction.norm() == 0.);
    CHECK(way.work == Approx(G).epsilon(1e-3));
    CHECK(way.state.spent == Approx(G).epsilon(1e-9));
    CHECK(way.state.delayed < 1e-6 * G); // the last step overruns the end
    CHECK(opening_work == Approx((1. - share) * G).epsilon(1e-3).margin(1e-9));
    CHECK(largest == Approx(1.).epsilon(2e-2)); // the steps do not end on the peak
    CHECK(largest <= 1. + 1e-12);
  }
}

TEST_CASE("The traction falls in a straight line from the strength to nothing", "[quick]")
{
  const CohesiveBond bond = glue();
  for (const double share : {0., 0.4, 1.})
  {
    const Eigen::Vector2d e = direction(bond, share);
    const double per_length = std::sqrt(bond.normal_stiffness * e.x() * e.x() + bond.shear_stiffness * e.y() * e.y());
    const double onset = 1. / std::hypot(bond.normal_stiffness * e.x() / bond.normal_strength,
                                         bond.shear_stiffness * e.y() / bond.shear_strength); // [m] by the strengths alone
    const double end = 2. * fracture_energy(bond, share) / (onset * per_length * per_length); // [m] by the area
    for (const double part : {0.2, 0.5, 0.9})
    {
      const double d = onset + part * (end - onset);
      const CohesiveResponse response = cohesive_step(bond, {}, d * e.x(), d * e.y());
      CHECK(response.state.fraction == Approx(part).epsilon(1e-9));
      CHECK(response.traction.norm() ==
            Approx((1. - part) * std::hypot(bond.normal_stiffness * onset * e.x(), bond.shear_stiffness * onset * e.y())));
    }
  }
}

TEST_CASE("Where the mix changes the energy is still the integral of G_c over the fraction spent", "[quick]")
{
  const CohesiveBond bond = glue();
  SECTION("first opened, closed again, then slid")
  {
    Walk way;
    walk(bond, way, {40e-6, 0.}, 40000);
    const double spent_opening = way.state.fraction;
    REQUIRE(spent_opening > 0.2);
    REQUIRE(spent_opening < 0.8);
    walk(bond, way, {0., 0.}, 10);
    CHECK(way.work == Approx(300. * spent_opening).epsilon(1e-3)); // all that was stored came back
    walk(bond, way, {0., 900e-6}, 40000);
    CHECK(way.state.fraction == 1.);
    CHECK(way.work == Approx(300. * spent_opening + 1000. * (1. - spent_opening)).epsilon(1e-3));
    CHECK(way.state.spent == Approx(way.work).epsilon(1e-3));
  }
  SECTION("along bent ways, without coming back")
  {
    for (const auto &corners : {std::vector<Eigen::Vector2d>{{2e-6, 0.}, {10e-6, 30e-6}, {12e-6, 60e-6}, {300e-6, 200e-6}},
                                std::vector<Eigen::Vector2d>{{0., 40e-6}, {30e-6, 50e-6}, {300e-6, 50e-6}},
                                std::vector<Eigen::Vector2d>{{-2e-6, 30e-6}, {20e-6, 40e-6}, {-5e-6, -60e-6}, {200e-6, -900e-6}}})
    {
      Walk way;
      for (const Eigen::Vector2d &corner : corners)
        walk(bond, way, corner, 20000);
      REQUIRE(way.state.fraction == 1.);
      const double pressed = stored_energy(bond, way.state, way.place.x(), way.place.y());
      CHECK(way.due > 300.);
      CHECK(way.due < 1000.);
      CHECK(way.work - pressed == Approx(way.due).epsilon(2e-3));
      CHECK(way.state.spent == Approx(way.due).epsilon(2e-3));
    }
  }
}

TEST_CASE("Damage does not heal, and a parted bond only presses", "[quick]")
{
  const CohesiveBond bond = glue();
  Walk way;
  walk(bond, way, {30e-6, 60e-6}, 1000);
  const double fraction = way.state.fraction, spent = way.state.spent;
  REQUIRE(fraction > 0.1);
  REQUIRE(fraction < 0.9);
  const double softness = way.traction.x() / way.place.x();
  walk(bond, way, {5e-6, -10e-6}, 50);
  CHECK(way.state.fraction == fraction);
  CHECK(way.state.spent == spent);
  CHECK(way.traction.x() / way.place.x() == Approx(softness));
  walk(bond, way, {-1e-6, 0.}, 50);
  CHECK(way.traction.x() == Approx(-bond.normal_stiffness * 1e-6));

  const CohesiveState parted = CohesiveState::parted();
  CHECK(cohesive_step(bond, parted, 1e-4, 1e-4).traction.norm() == 0.);
  const CohesiveResponse pressed = cohesive_step(bond, parted, -1e-6, 1e-4);
  CHECK(pressed.traction.x() == Approx(-bond.normal_stiffness * 1e-6));
  CHECK(pressed.traction.y() == 0.);
  CHECK(pressed.state.spent == 0.);
}

TEST_CASE("The bond's tangent is the derivative of its tractions", "[quick]")
{
  const CohesiveBond bond = glue();
  Walk damaged;
  walk(bond, damaged, {30e-6, 30e-6}, 100);
  REQUIRE(damaged.state.fraction > 0.1);
  for (const CohesiveState &state : {CohesiveState{}, damaged.state, CohesiveState::parted()})
    for (const double relaxation : {1., 0.3})
      for (const auto &d : {Eigen::Vector2d(0.1e-6, 0.3e-6),
                            {20e-6, 50e-6},
                            {45e-6, 20e-6},
                            {35e-6, -70e-6},
                            {-2e-6, 80e-6},
                            {60e-6, 1e-9},
                            {900e-6, 900e-6}})
      {
        const Eigen::Matrix2d tangent = cohesive_step(bond, state, d.x(), d.y(), relaxation).tangent;
        for (int j = 0; j < 2; ++j)
        {
          Eigen::Vector2d h = Eigen::Vector2d::Zero();
          h[j] = 1e-12;
          const Eigen::Vector2d difference = (cohesive_step(bond, state, d.x() + h.x(), d.y() + h.y(), relaxation).traction -
                                              cohesive_step(bond, state, d.x() - h.x(), d.y() - h.y(), relaxation).traction) /
                                             2e-12;
          INFO("fraction " << state.fraction << ", relaxation " << relaxation << ", at " << d.transpose() << ", column " << j);
          CHECK((tangent.col(j) - difference).norm() < 1e-4 * std::max(tangent.norm(), 1e-4 * bond.normal_stiffness));
        }
      }
}

TEST_CASE("Delayed growth takes more energy and tells how much; in time it ends where the law does", "[quick]")
{
  const CohesiveBond bond = glue();
  Walk way;
  walk(bond, way, {60e-6, 0.}, 20000, 0.002);
  CHECK(way.state.delayed > 0.);
  const double stored = stored_energy(bond, way.state, 60e-6, 0.);
  CHECK(way.work == Approx(way.state.spent + way.state.delayed + stored).epsilon(1e-3));
  const double asked = cohesive_step(bond, {}, 60e-6, 0.).state.fraction;
  CHECK(way.state.fraction < asked);
  for (int i = 0; i < 5000; ++i)
    walk(bond, way, {60e-6, 0.}, 1, 0.01);
  CHECK(way.state.fraction == Approx(asked));
}

TEST_CASE("A weakened bond scales strength and energy; one that would break before it softens is refused", "[quick]")
{
  const CohesiveBond weak = weakened(glue(), 0.4);
  CHECK(weak.normal_strength == Approx(2.4e6));
  CHECK(fracture_energy(weak, 1.) == Approx(400.));
  CHECK(weak.normal_stiffness == glue().normal_stiffness);
  CHECK(unsound(weak).empty());
  CohesiveBond soft = glue();
  soft.normal_stiffness = 1e10; // 6 MPa then stores 1800 J/m2
  CHECK(unsound(soft).find("1.8e+03 J/m2") != std::string::npos);
  CHECK_FALSE(unsound(CohesiveBond{}).empty());
}

TEST_CASE("A crack in a thin layer softens over a shorter length than in an infinite body", "[quick]")
{
  CohesiveBond bond = glue();
  bond.normal_strength = 4e6;
  bond.shear_strength = 40e6;
  // E G/S^2 = 40e9 x 1000 / 1600e12 = 25 mm, E G/N^2 = 40e9 x 300 / 16e12 = 750 mm
  CHECK(process_zone_length(bond, 1., 40e9, 1.) == Approx(25e-3));
  CHECK(process_zone_length(bond, 1., 40e9, 1e-3) == Approx(5e-3));
  CHECK(process_zone_length(bond, 0., 40e9, 10.) == Approx(0.75));
  CHECK(process_zone_length(bond, 0., 40e9, 1e-3) == Approx(std::pow(0.75, 0.25) * std::pow(1e-3, 0.75)));
}
