#include "meshing/shape/limb_shape.h"

#include "sample_limbs.h"

#include <catch2/catch.hpp>

#include <array>
#include <cmath>
#include <functional>

using namespace limbwright;
using namespace limbwright::sample;

namespace
{
constexpr double pi = 3.14159265358979323846;

std::vector<LimbDescription> all_samples()
{
  return {bamboo_backed(), glass_longbow(), recurve()};
}
} // namespace

TEST_CASE("A table is linear between stations and constant beyond them", "[quick]")
{
  const StationTable t{{1., 2., 4.}, {10., 20., 0.}};
  CHECK(t.at(0.) == 10.);
  CHECK(t.at(1.5) == Approx(15.));
  CHECK(t.at(3.) == Approx(10.));
  CHECK(t.at(9.) == 0.);
  CHECK(t.slope(0.) == 0.);
  CHECK(t.slope(1.) == Approx(10.));
  CHECK(t.slope(2.) == Approx(-10.));
  CHECK(t.slope(4.) == 0.);
  CHECK(StationTable{}.at(3.) == 0.);
}

TEST_CASE("A quarter circle toward the target lands where the circle does", "[quick]")
{
  const double radius = 0.3, length = 0.5 * pi * radius, thickness = 0.02;
  LimbDescription limb = strip(length, 0.03, {thickness}, 0.);
  limb.profile.lean = {{0., length}, {0., 0.5 * pi}};
  const LimbShape shape(limb);
  // Centre of the circle: (radius, 0); the back is its inner face.
  for (const double turn : {0., 0.3, 1.1, 0.5 * pi})
  {
    const Point2 back = shape.back(radius * turn);
    CHECK(back[0] == Approx(radius * (1. - std::cos(turn))).margin(1e-15));
    CHECK(back[1] == Approx(radius * std::sin(turn)).margin(1e-15));
    const Point2 belly = shape.place(radius * turn, thickness);
    CHECK(std::hypot(belly[0] - radius, belly[1]) == Approx(radius + thickness).epsilon(1e-13));
  }
  CHECK(shape.grain_lean(0, 0.5 * length) == Approx(0.25 * pi).epsilon(1e-10));
  // Volume of the ring's quarter times a density of one.
  const double ring = 0.25 * pi * ((radius + thickness) * (radius + thickness) - radius * radius);
  CHECK(shape.mass({1.}, {}) == Approx(0.03 * ring).epsilon(1e-12));
}

TEST_CASE("The mirrored profile gives the mirrored back, and a straight one a straight limb", "[quick]")
{
  LimbDescription limb = bamboo_backed();
  limb.root_back_x = 0.;
  LimbDescription mirrored = limb;
  for (double &lean : mirrored.profile.lean.value)
    lean = -lean;
  LimbDescription straight = limb;
  straight.profile.lean = {};
  const LimbShape shape(limb), mirror(mirrored), line(straight);
  for (const double s : {0.15, 0.3, 0.6, 0.85})
  {
    CHECK(mirror.back(s)[0] == Approx(-shape.back(s)[0]).margin(1e-15));
    CHECK(mirror.back(s)[1] == Approx(shape.back(s)[1]));
    CHECK(line.back(s)[0] == Approx(0.).margin(1e-15));
    CHECK(line.back(s)[1] == Approx(s).epsilon(1e-14)); // stations count from y = 0 where the root's are alike
    CHECK(line.place(s, 0.01)[0] == Approx(-0.01));
  }
}

TEST_CASE("Almost straight arcs are as exact as bent ones", "[quick]")
{
  for (const double curvature : {1e-12, 1e-6, 1.9e-3, 2.1e-3, 0.5})
  {
    LimbDescription limb = strip(1., 0.03, {0.01}, 0.);
    limb.profile.lean = {{0., 1.}, {0., curvature}};
    const Point2 tip = LimbShape(limb).back(1.);
    CHECK(tip[0] == Approx(2. * std::pow(std::sin(0.5 * curvature), 2) / curvature).epsilon(1e-13));
    CHECK(tip[1] == Approx(std::sin(curvature) / curvature).epsilon(1e-14));
  }
}

TEST_CASE("The back has no gap and no corner where arcs meet", "[quick]")
{
  for (const LimbDescription &limb : all_samples())
  {
    const LimbShape shape(limb);
    for (const double s : limb.profile.lean.station)
    {
      const double step = 1e-7;
      const Point2 before = shape.back(s - step), at = shape.back(s), after = shape.back(s + step);
      for (std::size_t i = 0; i < 2; ++i)
      {
        CHECK(std::abs(after[i] - at[i]) <= step * (1. + 1e-6));
        CHECK(after[i] - at[i] == Approx(at[i] - before[i]).margin(1e-12));
      }
    }
  }
}

TEST_CASE("Ends that taper are cut where the feather thickness is reached", "[quick]")
{
  const LimbDescription limb = glass_longbow();
  const LimbShape shape(limb);
  // 0.06 in falls to 0.001 in over 7 in; 0.005 in (0.127 mm) is reached after 7 * 0.055 / 0.059 in.
  CHECK(shape.end(2) == Approx(limb.root_station + 7. * 0.055 / 0.059 * inch).epsilon(1e-12));
  CHECK(shape.start(3) == Approx(limb.root_station + (15.5 + 7. * 0.004 / 0.044) * inch).epsilon(1e-12));
  CHECK(shape.start(2) == limb.root_station);
  CHECK(shape.end(3) == limb.tip_station);
  REQUIRE(shape.lamination_ends().size() == 2);
  for (const LaminationEnd &end : shape.lamination_ends())
  {
    CHECK(end.inner);
    CHECK(end.thickness == Approx(0.127e-3).epsilon(1e-9));
    CHECK(end.step == Approx(0.227e-3).epsilon(1e-9));
    CHECK(end.slope == Approx(end.lamination == 2 ? 0.059 / 7. : 0.044 / 7.).epsilon(1e-6));
    CHECK(shape.pocket_length(end.lamination) == end.pocket);
    CHECK(end.lift == 0.);
  }
  CHECK(shape.pocket_length(1) == 0.);
}

namespace
{
// Value, slope, bending and its slope, load of a line at x by central differences.
std::array<double, 5> derivatives(const std::function<double(double)> &line, double x, double h)
{
  const double a = line(x - 2. * h), b = line(x - h), c = line(x), d = line(x + h), e = line(x + 2. * h);
  return {c, (d - b) / (2. * h), (b - 2. * c + d) / (h * h), (e - 2. * d + 2. * b - a) / (2. * h * h * h),
          (a - 4. * b + 6. * c - 4. * d + e) / (h * h * h * h)};
}
} // namespace

TEST_CASE("Layers pressed over an inner end bend as an elastic strip", "[quick]")
{
  // The belly glass and the belly-side maple at the power lamination's end: EI times the fourth derivative is -p, with the slope
  // of the taper where they leave it, and neither slope nor moment where they touch (Timoshenko 1940, Strength of Materials II,
  // sec. 4).
  LimbDescription limb = glass_longbow();
  const auto bending_stiffness = [&](const LimbShape &shape, double s)
  { return pressed_modulus / 12. * (std::pow(shape.thickness(0, s), 3) + std::pow(shape.thickness(1, s), 3)); };
  {
    const LimbShape shape(limb);
    const LaminationEnd &end = shape.lamination_ends().front();
    const auto line = [&](double x) { return end.space(x); };
    const double h = 0.01 * end.pocket, touches = end.pocket - 2. * h;
    CHECK(end.space(0.) == Approx(0.227e-3).epsilon(1e-9));
    CHECK((end.space(1e-6) - end.space(0.)) / 1e-6 == Approx(-0.059 / 7.).epsilon(1e-3));
    CHECK(derivatives(line, 0.5 * end.pocket, h)[4] == Approx(-pressing / bending_stiffness(shape, end.station)).epsilon(1e-3));
    CHECK(std::abs(derivatives(line, touches, h)[1]) < 1e-4);
    CHECK(end.space(end.pocket) == 0.);
    CHECK(end.pocket > 15e-3);
    CHECK(end.pocket < 30e-3);
  }
  // A steep end: they stand off from the wedge before it ends, by a strip that is supported at both ends. By hand the span is
  // (12 EI slope / p)^(1/3), and what is left at the end follows from where both lines meet.
  limb.laminations[2].thickness = table(limb.root_station, inch, {{0., 0.06}, {6.5, 0.06}, {7., 0.}});
  const LimbShape shape(limb);
  const LaminationEnd &end = shape.lamination_ends().front();
  REQUIRE(end.lift > 0.);
  const double slope = 0.12, span = std::cbrt(12. * bending_stiffness(shape, end.station) * slope / pressing);
  CHECK(end.lift + end.pocket == Approx(span).epsilon(1e-4));
  CHECK(end.space(0.) == Approx(end.step + end.space_before(0.)).epsilon(1e-6));
  const auto over = [&](double x) // the strip's height along the limb, from where it leaves the wedge
  { return x < end.lift ? end.step + slope * (end.lift - x) + end.space_before(end.lift - x) : end.space(x - end.lift); };
  const double h = 0.01 * span;
  for (const double share : {0.2, 0.5, 0.8})
  {
    const auto there = derivatives(over, share * span, h);
    CHECK(there[2] ==
          Approx(pressing * share * (1. - share) * span * span / (2. * bending_stiffness(shape, end.station))).epsilon(1e-3));
    CHECK(there[4] == Approx(-pressing / bending_stiffness(shape, end.station)).epsilon(1e-2));
  }
  CHECK(end.space_before(end.lift) == 0.);
  CHECK(end.space(end.pocket) == 0.);
  // The gap takes it in: before the end over the wedge, beyond it in all.
  CHECK(shape.gap(1, 2, end.station) == Approx(0.1e-3 + end.space_before(0.)).epsilon(1e-9));
  CHECK(shape.gap(1, 4, end.station) == Approx(0.1e-3 + end.space(0.)).epsilon(1e-9));
  CHECK(shape.gap(1, end.station - 0.5 * end.lift) == Approx(0.1e-3 + end.space_before(0.5 * end.lift)).epsilon(1e-9));
  CHECK(shape.gap(1, end.station - 1.01 * end.lift) == 0.1e-3);
  CHECK(shape.gap(2, end.station - 0.5 * end.lift) == 0.1e-3);
}

TEST_CASE("Neighbours close over an inner end without a jump", "[quick]")
{
  const LimbShape shape(glass_longbow());
  const double end = shape.end(2), pocket = shape.pocket_length(2), glue = 0.1e-3, feather = 0.127e-3;
  CHECK(shape.gap(1, 2, end) == Approx(glue));
  CHECK(shape.gap(1, 4, end) == Approx(feather + 2. * glue).epsilon(1e-9));
  CHECK(shape.gap(1, end + 1.01 * pocket) == glue);
  for (const double s : {end, end + pocket, shape.start(3), shape.start(3) - pocket})
    for (const std::size_t lamination : {0U, 1U, 4U, 5U, 6U})
    {
      // 2e-8 m along a slope of some hundredths.
      CHECK(shape.back_face_depth(lamination, s - 1e-8) == Approx(shape.back_face_depth(lamination, s + 1e-8)).margin(1e-9));
      CHECK(shape.belly_face_depth(lamination, s - 1e-8) == Approx(shape.belly_face_depth(lamination, s + 1e-8)).margin(1e-9));
    }
}

TEST_CASE("The stack is the sum of what is in it", "[quick]")
{
  const LimbDescription limb = glass_longbow();
  const LimbShape shape(limb);
  CHECK(shape.stack(limb.root_station) == Approx((0.036 + 0.085 + 0.06 + 0.04 + 0.08 + 0.036) * inch + 5. * 0.1e-3));
  CHECK(shape.stack(limb.tip_station) == Approx((0.036 + 0.049 + 0.045 + 0.04 + 0.0485 + 0.036) * inch + 5. * 0.1e-3));
  const double middle = limb.root_station + 11.25 * inch;
  CHECK(shape.stack(middle) == Approx((0.036 + 0.067 + 0.04 + 0.06425 + 0.036) * inch + 4. * 0.1e-3));
  CHECK(shape.outer_back_depth(middle) == 0.);
}

TEST_CASE("An overlay lies outside the datum and ends with its bevel", "[quick]")
{
  LimbDescription limb = strip(0.6, 0.03, {5e-3, 3e-3}, 0.1e-3);
  limb.laminations[1].start = 0.45;
  limb.laminations[1].bevel = 0.02;
  const LimbShape shape(limb);
  CHECK(shape.back_face_depth(0, 0.5) == 0.);
  CHECK(shape.belly_face_depth(1, 0.5) == Approx(-0.1e-3));
  CHECK(shape.outer_back_depth(0.5) == Approx(-3.1e-3));
  CHECK(shape.outer_back_depth(0.3) == 0.);
  CHECK(shape.thickness(1, 0.45) == Approx(0.127e-3));
  CHECK(shape.thickness(1, 0.46) == Approx(0.5 * (3e-3 + 0.127e-3)));
  CHECK(shape.thickness(1, 0.47) == Approx(3e-3));
  CHECK(shape.thickness(1, 0.44) == 0.);
  CHECK(shape.pocket_length(1) == 0.);
}

TEST_CASE("A sheet thinner than the feather thickness is not cut away", "[quick]")
{
  LimbDescription limb = strip(0.6, 0.03, {5e-3, 0.1e-3}, 0.05e-3);
  limb.laminations[1].end = 0.4;
  const LimbShape shape(limb);
  CHECK(shape.end(1) == 0.4);
  CHECK(shape.thickness(1, 0.4) == Approx(0.1e-3));
}

TEST_CASE("The grain follows the lamination's own middle, and its run-out", "[quick]")
{
  // The belly lamination tapers by 2 mm over 0.5 m: its middle rises toward the back by half of that.
  LimbDescription limb = strip(0.5, 0.03, {1., 1e-3}, 0.);
  limb.laminations[0].thickness = {{0., 0.5}, {10e-3, 8e-3}};
  limb.laminations[0].run_out = StationTable::constant(0.05);
  const LimbShape shape(limb);
  CHECK(shape.grain_lean(0, 0.2) == Approx(std::atan(1e-3 / 0.5) + 0.05).epsilon(1e-9));
  CHECK(shape.grain_lean(1, 0.2) == Approx(0.).margin(1e-12));
}

TEST_CASE("Mass of a strip, glue included", "[quick]")
{
  const LimbShape shape(strip(0.6, 0.03, {4e-3, 3e-3}, 0.2e-3));
  CHECK(shape.mass({500., 900.}, {1200.}) == Approx(0.6 * 0.03 * (500. * 4e-3 + 900. * 3e-3 + 1200. * 0.2e-3)).epsilon(1e-12));
}

TEST_CASE("Mass of a tapered limb of trapezoid section", "[quick]")
{
  // Width 40 -> 20 mm and thickness 12 -> 8 mm, linear over 0.6 m; belly half as wide as the back: mean factor 0.75.
  LimbDescription limb = strip(0.6, 0.04, {12e-3}, 0.);
  limb.width = {{0., 0.6}, {40e-3, 20e-3}};
  limb.laminations[0].thickness = {{0., 0.6}, {12e-3, 8e-3}};
  limb.section.belly_width_factor = 0.5;
  const LimbShape shape(limb);
  CHECK(shape.width(0.3, 0.) == Approx(30e-3));
  CHECK(shape.width(0.3, 10e-3) == Approx(15e-3));
  // Mean of the product of two linear functions: (2 a c + a d + b c + 2 b d) / 6.
  const double mean = (2. * 40. * 12. + 40. * 8. + 20. * 12. + 2. * 20. * 8.) / 6. * 1e-6;
  CHECK(shape.mass({700.}, {}) == Approx(700. * 0.75 * 0.6 * mean).epsilon(1e-12));
}

TEST_CASE("What makes no limb is refused", "[quick]")
{
  LimbDescription limb = strip(0.6, 0.03, {5e-3, 3e-3}, 0.1e-3);
  SECTION("no lamination runs the whole limb")
  {
    limb.laminations[0].end = 0.4;
    limb.laminations[1].start = 0.3;
    CHECK_THROWS_WITH(LimbShape(limb), Catch::Contains("run the whole limb"));
  }
  SECTION("a lamination without thickness")
  {
    limb.laminations[0].thickness = {{0., 0.6}, {5e-3, 0.}};
    CHECK_THROWS_WITH(LimbShape(limb), Catch::Contains("no thickness at 23.62 in"));
  }
  SECTION("a curve tighter than the limb is thick")
  {
    limb.profile.lean = {{0.3, 0.301}, {0., -0.2}};
    CHECK_THROWS_WITH(LimbShape(limb), Catch::Contains("more tightly"));
  }
  SECTION("a lamination outside the limb")
  {
    limb.laminations[1].start = 0.7;
    limb.laminations[1].end = 0.8;
    CHECK_THROWS_WITH(LimbShape(limb), Catch::Contains("outside the limb"));
  }
  SECTION("a lamination of which nothing is left")
  {
    limb.laminations[1].start = 0.1;
    limb.laminations[1].end = 0.3;
    limb.laminations[1].thickness = {{0.1, 0.2, 0.3}, {0., 0.12701e-3, 0.}};
    CHECK_THROWS_WITH(LimbShape(limb), Catch::Contains("nothing of it would be left"));
  }
  SECTION("stations that do not ascend")
  {
    limb.width = {{0., 0.2, 0.2}, {0.03, 0.03, 0.02}};
    CHECK_THROWS_WITH(LimbShape(limb), Catch::Contains("from the handle toward the tip"));
  }
  SECTION("a missing glue line")
  {
    limb.glue.clear();
    CHECK_THROWS_WITH(LimbShape(limb), Catch::Contains("glue line"));
  }
}

TEST_CASE("Corners are where thickness, width or curvature change abruptly, and nowhere else", "[quick]")
{
  const double length = 0.7;
  LimbDescription limb = strip(length, 0.03, {0.01, 0.004}, 1e-4);
  CHECK(LimbShape(limb).corners().empty());

  // Tapers of 3 and 5.5 thousandths: a corner. Of 3 and 4.5: none.
  limb.laminations[0].thickness = {{0., 0.2, length}, {0.01, 0.01 - 0.2 * 0.003, 0.01 - 0.2 * 0.003 - 0.5 * 0.0055}};
  CHECK(LimbShape(limb).corners() == std::vector<double>{0.2});
  limb.laminations[0].thickness.value[2] = 0.01 - 0.2 * 0.003 - 0.5 * 0.0045;
  CHECK(LimbShape(limb).corners().empty());

  // An edge that turns by twice the bound, and an arc of 0.014/0.1 of the stack's radius after a straight stretch.
  limb.width = {{0., 0.3, length}, {0.03, 0.03, 0.03 - 0.4 * 0.008}};
  limb.profile.lean = {{0., 0.4, 0.5, length}, {0., 0., 1., 1.02}};
  CHECK(LimbShape(limb).corners() == std::vector<double>{0.3, 0.4, 0.5});

  // Where a lamination ends is no corner; where its bevel begins is one.
  limb = strip(length, 0.03, {0.004, 0.01}, 1e-4);
  limb.laminations[0].end = 0.5;
  CHECK(LimbShape(limb).corners().empty());
  limb.laminations[0].bevel = 0.05;
  REQUIRE(LimbShape(limb).corners().size() == 1);
  CHECK(LimbShape(limb).corners()[0] == Approx(0.45));
}

TEST_CASE("A smooth table goes through its rows without corners, and never past them", "[quick]")
{
  // A fade, a parallel stretch, a long taper, a hollow. Inches do for both columns.
  StationTable t{{4., 6., 7., 9., 20., 22., 24.}, {1.4, 0.55, 0.5, 0.5, 0.4, 0.35, 0.42}, true};
  for (double &s : t.station)
    s *= inch;
  for (std::size_t i = 0; i < t.station.size(); ++i)
    CHECK(t.at(t.station[i]) == Approx(t.value[i]).epsilon(1e-14));
  constexpr double step = 1e-4 * inch;
  double before = t.slope(t.station.front());
  for (double s = t.station.front() + step; s < t.station.back(); s += step)
  {
    const auto next = std::upper_bound(t.station.begin(), t.station.end(), s);
    const auto i = static_cast<std::size_t>(next - t.station.begin());
    const auto [least, most] = std::minmax(t.value[i - 1], t.value[i]);
    if (!(t.at(s) >= least - 1e-12 && t.at(s) <= most + 1e-12))
      FAIL_CHECK("past its rows at " << s / inch);
    // The steepest bend, of the fade, is some 0.6 per inch: 2.4e3 1/m2 here.
    if (!(std::abs(t.slope(s) - before) < 3e3 * step))
      FAIL_CHECK("a corner at " << s / inch);
    before = t.slope(s);
  }
  CHECK(t.at(8. * inch) == Approx(0.5).epsilon(1e-14)); // parallel stays parallel
  CHECK(t.slope(14. * inch) * inch == Approx(-0.1 / 11.));
  CHECK(t.at(14. * inch) == Approx(0.5 - 5. * 0.1 / 11.)); // a long taper stays as straight as it was laid out
  CHECK(t.at(30. * inch) == 0.42);

  // Two rows are joined by a straight line; one that goes on level beyond them comes to that without a corner.
  StationTable two{{0.1, 0.5}, {0.01, 0.006}, true};
  CHECK(two.at(0.2) == Approx(0.009));
  two.level_after = true;
  CHECK(two.slope(0.5 - 1e-9) == Approx(0.).margin(1e-8));
  CHECK(two.at(0.2) == Approx(0.009));
  CHECK(two.slope(0.1) == Approx(-0.01));
}

TEST_CASE("Smooth tables leave the limb no corners and no borders of the mesh, and its mass is that of the integral", "[quick]")
{
  const double length = 0.7;
  LimbDescription limb = strip(length, 0.03, {0.01}, 0.);
  limb.laminations[0].thickness = {{0., 0.05, 0.1, 0.3, length}, {0.03, 0.015, 0.0121, 0.0118, 0.007}};
  limb.width = {{0., 0.05, length}, {0.025, 0.05, 0.013}};
  CHECK(LimbShape(limb).corners() == std::vector<double>{0.05, 0.1, 0.3});
  CHECK(LimbShape(limb).kinks().size() == 5);
  limb.laminations[0].thickness.smooth = limb.width.smooth = true;
  const LimbShape shape(limb);
  CHECK(shape.corners().empty());
  CHECK(shape.kinks() == std::vector<double>{0., length});
  double volume = 0.;
  constexpr int n = 20000;
  for (int i = 0; i < n; ++i)
  {
    const double s = (i + 0.5) * length / n;
    volume += length / n * limb.width.at(s) * limb.laminations[0].thickness.at(s);
  }
  CHECK(shape.mass({1.}, {}) == Approx(volume).epsilon(1e-5));

  // An end that tapers to nothing is cut where the smooth table has the feather thickness.
  limb.laminations.push_back(lamination("overlay", {{0.4, 0.45, 0.5}, {0.004, 0.003, 0.}, true}, 0.4, 0.5));
  limb.glue = {{"epoxy", 1e-4, 0.}};
  const LimbShape feathered(limb);
  CHECK(feathered.end(1) < 0.5);
  CHECK(limb.laminations[1].thickness.at(feathered.end(1)) == Approx(limb.laminations[1].feather).epsilon(1e-9));
}
