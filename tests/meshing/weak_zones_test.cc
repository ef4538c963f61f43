#include "meshing/mesh/columns.h"
#include "meshing/shape/limb_shape.h"

#include "sample_limbs.h"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>

using namespace limbwright;

namespace
{
Knot knot_at_middle(KnotDirection direction, double diameter)
{
  Knot knot;
  knot.station = 0.3;
  knot.diameter = diameter;
  knot.depth = 6e-3;
  knot.direction = direction;
  knot.state = KnotState::hole;
  return knot;
}

LimbDescription bar_with(const Knot &knot)
{
  LimbDescription limb = sample::strip(0.6, 40e-3, {12e-3}, 0.);
  limb.weak.knots = {knot};
  return limb;
}
} // namespace

TEST_CASE("Grain flows around a round knot as a stream around a cylinder", "[quick]")
{
  // Stream function y (1 - R^2/r^2): at (R, R) tan = .5, at (0, 2 R) along the stream.
  const double R = 3e-3;
  CHECK(stream_angle(R, R, R, R) == Approx(-std::atan(0.5)).epsilon(1e-12));
  CHECK(stream_angle(-R, R, R, R) == Approx(std::atan(0.5)).epsilon(1e-12));
  CHECK(stream_angle(-R, -R, R, R) == Approx(-std::atan(0.5)).epsilon(1e-12));
  CHECK(stream_angle(0., 2. * R, R, R) == Approx(0.).margin(1e-12));
  CHECK(stream_angle(8. * R, 0.5 * R, R, R) == Approx(0.).margin(1. * sample::degree));
}

TEST_CASE("Grain flows along the face of an ellipse and comes back straight", "[quick]")
{
  for (const auto &[a, b] : {std::pair{4e-3, 2e-3}, {2e-3, 4e-3}, {3e-3, 3e-3}})
    for (const double degrees : {100., 120., 150., 170., 200., 250., 300., 340.})
    {
      const double t = degrees * sample::degree;
      const double x = a * std::cos(t) * (1. + 1e-9), y = b * std::sin(t) * (1. + 1e-9);
      INFO(a << " " << b << " " << degrees);
      // The tangent of the ellipse, up to its sense.
      const double angle = stream_angle(x, y, a, b), tangent = std::atan2(b * std::cos(t), -a * std::sin(t));
      CHECK(std::sin(angle - tangent) == Approx(0.).margin(1e-6));
      CHECK(std::cos(angle) > 0.);
    }
  CHECK(std::abs(stream_angle(0.5, 0.3, 4e-3, 2e-3)) < 1e-4);
}

TEST_CASE("A stream past an ellipse keeps its stream function", "[quick]")
{
  // Followed from far before the ellipse to far behind it, a fibre ends on the line it began on.
  for (const auto &[a, b] : {std::pair{4e-3, 2e-3}, {2e-3, 4e-3}})
  {
    double x = -0.2, y = 1e-3;
    while (x < 0.2)
    {
      const double step = 2e-5, half = 0.5 * step * std::tan(stream_angle(x, y, a, b));
      y += step * std::tan(stream_angle(x + 0.5 * step, y + half, a, b));
      x += step;
    }
    CHECK(y == Approx(1e-3).epsilon(0.01));
  }
}

TEST_CASE("A knot takes its share of the width at each station", "[quick]")
{
  const LimbShape shape(bar_with(knot_at_middle(KnotDirection::through, 8e-3)));
  const auto share = [&](double s)
  {
    double knot = 0., sum = 0.;
    for (const WidthStrip &strip : shape.strips(0, s, 4e-3))
    {
      sum += strip.share;
      knot += strip.knot == 0 ? strip.share : 0.;
    }
    CHECK(sum == Approx(1.).epsilon(1e-12));
    return knot;
  };
  CHECK(share(0.3) == Approx(0.2).epsilon(1e-9));
  CHECK(share(0.3024) == Approx(0.2 * 0.8).epsilon(1e-9));
  CHECK(share(0.305) == 0.);
  CHECK(share(0.5) == 0.);
  CHECK(shape.strips(0, 0.5, 4e-3).size() == 1);
  // Turned to one side of it and as much to the other.
  CHECK(shape.grain_turn(0, 0.304, 6e-3, 4e-3).turn == Approx(-std::atan(0.5)));
  CHECK(shape.grain_turn(0, 0.304, 6e-3, -4e-3).turn == Approx(std::atan(0.5)));
  CHECK(shape.mean_grain_turn(0, 0.304, 6e-3).turn == Approx(0.).margin(1e-12));
}

TEST_CASE("A knot that lies across dives the grain in the side view", "[quick]")
{
  Knot knot = knot_at_middle(KnotDirection::across, 4e-3);
  const LimbShape whole(bar_with(knot));
  CHECK(whole.knot_at(0, 0.3, 6e-3, 15e-3) == 0);
  CHECK(whole.knot_at(0, 0.3, 8.1e-3, 0.) == -1);
  // Above it, toward the back and past it, the grain comes down again.
  CHECK(whole.mean_grain_turn(0, 0.302, 4e-3).dive == Approx(-std::atan(0.5)));
  knot.length = 10e-3;
  const LimbShape part(bar_with(knot));
  CHECK(part.mean_grain_turn(0, 0.302, 4e-3).dive == Approx(-0.25 * std::atan(0.5)));
  knot.direction = KnotDirection::spike;
  knot.off_centre = 0.;
  const LimbShape spike(bar_with(knot));
  CHECK(spike.knot_at(0, 0.3, 6e-3, 19e-3) == 0);
  CHECK(spike.knot_at(0, 0.3, 6e-3, -5e-3) == -1);
  CHECK(spike.knot_at(0, 0.3, 7.5e-3, 10e-3) == -1); // half as thick half way
  CHECK(spike.knot_at(0, 0.3, 7.5e-3, 19e-3) == 0);
}

TEST_CASE("A region's slope adds to the grain there, and a limb told sound has none", "[quick]")
{
  LimbDescription limb = sample::strip(0.6, 40e-3, {12e-3}, 0.);
  limb.weak.regions = {{0, 0.1, 0.2, 0.05}};
  CHECK(LimbShape(limb).mean_grain_turn(0, 0.15, 3e-3).dive == 0.05);
  CHECK(LimbShape(limb).mean_grain_turn(0, 0.25, 3e-3).none());
  limb.weak.told_sound = true;
  CHECK(LimbShape(limb).mean_grain_turn(0, 0.15, 3e-3).none());
}

TEST_CASE("Columns at a knot are an eighth of it, and grow evenly away from it", "[quick]")
{
  LimbDescription limb = bar_with(knot_at_middle(KnotDirection::through, 8e-3));
  limb.weak.regions = {{0, 0.1, 0.2, 0.05}};
  MeshSettings settings;
  const std::vector<double> stations = column_stations(LimbShape(limb), settings);
  limb.weak.told_sound = true;
  CHECK(column_stations(LimbShape(limb), settings) == stations);
  for (std::size_t i = 1; i + 1 < stations.size(); ++i)
  {
    const double before = stations[i] - stations[i - 1], after = stations[i + 1] - stations[i];
    CHECK(std::max(before, after) <= (1. + 1e-6) * settings.growth * std::min(before, after));
    if (std::abs(stations[i] - 0.3) < 4e-3 && std::abs(stations[i + 1] - 0.3) < 4e-3)
      CHECK(after <= 1e-3 * (1. + 1e-9));
  }
  for (const double end : {0.1, 0.2})
    CHECK(std::any_of(stations.begin(), stations.end(), [end](double s) { return std::abs(s - end) < 1e-9; }));
}
