#include "meshing/mesh/limb_mesh.h"
#include "meshing/shape/limb_shape.h"

#include "sample_limbs.h"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>

using namespace limbwright;
using namespace limbwright::sample;

namespace
{
constexpr double pi = 3.14159265358979323846;
constexpr double wide = 30e-3, thick = 12e-3;

struct Section
{
  double area, centroid, second_moment; // [m2], [m] below the back, [m4] about the centroid
};

LimbDescription bar(const FaceShape &belly, const FaceShape &back)
{
  LimbDescription limb = strip(0.6, wide, {thick}, 0.);
  limb.section.belly = belly;
  limb.section.back = back;
  return limb;
}

/// By the midpoint rule through the width as the solver sees it.
Section measured(const LimbShape &shape)
{
  constexpr int n = 200000;
  double area = 0., first = 0., second = 0.;
  for (int i = 0; i < n; ++i)
  {
    const double depth = (i + 0.5) * thick / n, slice = shape.width(0.3, depth) * thick / n;
    area += slice;
    first += slice * depth;
    second += slice * depth * depth;
  }
  return {area, first / area, second - first * first / area};
}

/// Simple bodies added up: areas, centroids and second moments about their own centroids (parallel axes).
Section sum(const std::initializer_list<Section> parts)
{
  Section total{0., 0., 0.};
  for (const Section &part : parts)
  {
    total.area += part.area;
    total.centroid += part.area * part.centroid;
  }
  total.centroid /= total.area;
  for (const Section &part : parts)
    total.second_moment += part.second_moment + part.area * std::pow(part.centroid - total.centroid, 2);
  return total;
}

Section rectangle(const double width, const double from, const double to)
{
  const double height = to - from;
  return {width * height, 0.5 * (from + to), width * std::pow(height, 3) / 12.};
}

/// Half an ellipse of full width and height h whose straight side lies at a depth, its round side toward +1 the belly, -1 the
/// back.
Section half_ellipse(const double width, const double h, const double straight_side, const double toward)
{
  const double area = pi * width * h / 4.;
  return {area, straight_side + toward * 4. * h / (3. * pi), width * std::pow(h, 3) * (pi / 16. - 4. / (9. * pi))};
}

/// Straight-sided, from the width `first` at depth `from` to the width `last` at `to`.
Section trapezoid(const double first, const double last, const double from, const double to)
{
  const double h = to - from, both = first + last;
  return {both * h / 2., from + h * (first + 2. * last) / (3. * both),
          std::pow(h, 3) * (first * first + 4. * first * last + last * last) / (36. * both)};
}

/// Segment of a circle on the back, the chord being the whole width, its crown at depth zero.
Section segment(const double radius, const double rise)
{
  const double angle = std::acos(1. - rise / radius); // half of the arc
  const double area = radius * radius * (angle - std::sin(angle) * std::cos(angle));
  const double from_middle = 2. / 3. * std::pow(radius * std::sin(angle), 3) / area;
  const double about_middle = std::pow(radius, 4) / 4. * (angle - 0.25 * std::sin(4. * angle));
  return {area, radius - from_middle, about_middle - area * from_middle * from_middle};
}

/// Both corners that are missing where edges are rounded to the radius, at the back (toward = 1) or the belly (-1): what is left
/// of two squares without quarter circles; negative.
Section rounded_corners(const double radius, const double face, const double toward)
{
  const double area = radius * radius * (2. - pi / 2.);
  const double moment_about_face =
      radius * std::pow(radius, 2) - (pi / 2. * radius * radius) * (radius - 4. * radius / (3. * pi));
  const double centroid = moment_about_face / area;
  const double square = 2. * std::pow(radius, 4) / 3.; // about the face
  const double own = pi / 8. * std::pow(radius, 4) - pi / 2. * radius * radius * std::pow(4. * radius / (3. * pi), 2);
  const double quarters = own + pi / 2. * radius * radius * std::pow(radius - 4. * radius / (3. * pi), 2);
  return {-area, face + toward * centroid, -(square - quarters - area * centroid * centroid)};
}

void check(const FaceShape &belly, const FaceShape &back, const Section &exact)
{
  const LimbShape shape(bar(belly, back));
  const Section found = measured(shape);
  CHECK(found.area == Approx(exact.area).epsilon(3e-4));
  CHECK(found.centroid == Approx(exact.centroid).epsilon(3e-4));
  CHECK(found.second_moment == Approx(exact.second_moment).epsilon(6e-4));
  CHECK(shape.mass({700.}, {}) == Approx(700. * 0.6 * exact.area).epsilon(1.5e-3));
  CHECK(shape.width(0.3) == wide);
}
} // namespace

TEST_CASE("Sections have the area, centroid and second moment of their closed forms", "[quick]")
{
  SECTION("rectangle")
  {
    check(PlainFace{}, PlainFace{}, rectangle(wide, 0., thick));
  }
  SECTION("trapped back")
  {
    check(PlainFace{}, TrappedFace{0.6, 0.}, trapezoid(0.6 * wide, wide, 0., thick));
  }
  SECTION("trapped belly over a part of the depth")
  {
    check(TrappedFace{0.5, 5e-3}, PlainFace{}, sum({rectangle(wide, 0., 7e-3), trapezoid(wide, 0.5 * wide, 7e-3, thick)}));
  }
  SECTION("belly half an ellipse")
  {
    check(EllipticFace{}, PlainFace{}, half_ellipse(wide, thick, 0., 1.));
  }
  SECTION("belly half an ellipse over a part of the depth")
  {
    check(EllipticFace{8e-3}, PlainFace{}, sum({rectangle(wide, 0., 4e-3), half_ellipse(wide, 8e-3, 4e-3, 1.)}));
  }
  SECTION("crowned back by its radius")
  {
    const double radius = 40e-3, rise = radius - std::sqrt(radius * radius - wide * wide / 4.);
    check(PlainFace{}, ArcFace{radius, 0.}, sum({segment(radius, rise), rectangle(wide, rise, thick)}));
  }
  SECTION("crowned back by its rise, and a round belly")
  {
    const double rise = 3e-3, radius = (wide * wide / 4. + rise * rise) / (2. * rise);
    check(EllipticFace{6e-3}, ArcFace{0., rise},
          sum({segment(radius, rise), rectangle(wide, rise, 6e-3), half_ellipse(wide, 6e-3, 6e-3, 1.)}));
  }
  SECTION("rounded edges")
  {
    check(RoundedEdges{3e-3}, RoundedEdges{3e-3},
          sum({rectangle(wide, 0., thick), rounded_corners(3e-3, 0., 1.), rounded_corners(3e-3, thick, -1.)}));
  }
  SECTION("facets")
  {
    check(
        Facets{4e-3, 2e-3}, Facets{4e-3, 2e-3},
        sum({trapezoid(wide - 8e-3, wide, 0., 2e-3), rectangle(wide, 2e-3, 10e-3), trapezoid(wide, wide - 8e-3, 10e-3, thick)}));
  }
}

TEST_CASE("A face that is more than the limb has left is made as large as fits", "[quick]")
{
  // Rounding of 12 mm on 12 mm is all of it; an arc on a width of 30 mm rises 15 mm at most.
  CHECK(face_reach(EllipticFace{20e-3}, wide, thick) == thick);
  CHECK(face_reach(ArcFace{0., 20e-3}, wide, 40e-3) == Approx(15e-3));
  CHECK(face_reach(RoundedEdges{50e-3}, wide, thick) == 0.5 * thick);
  CHECK(face_width_share(EllipticFace{}, wide, thick, 0.) == least_width_share);
  CHECK(face_width_share(EllipticFace{}, wide, thick, thick) == 1.);
  // Half a circle, and nothing at all of the face under a facet that takes it away.
  CHECK(face_width_share(ArcFace{0., 15e-3}, wide, 40e-3, 15e-3 * (1. - std::sqrt(0.75))) == Approx(0.5));
  CHECK(face_width_share(Facets{15e-3, 2e-3}, wide, thick, 0.) == least_width_share);
  CHECK(face_width_share(Facets{15e-3, 2e-3}, wide, thick, 1e-3) == Approx(0.5));
}

TEST_CASE("An arc that cannot lie across the limb is refused", "[quick]")
{
  CHECK_THROWS_WITH(LimbShape(bar(PlainFace{}, ArcFace{14e-3, 0.})), Catch::Contains("radius of 0.5512 in"));
  CHECK_THROWS_WITH(LimbShape(bar(PlainFace{}, ArcFace{})), Catch::Contains("not both"));
}

TEST_CASE("Laminations that follow a crown keep their width and lie deeper at the edges", "[quick]")
{
  LimbDescription limb = strip(0.6, wide, {9e-3, 1e-3, 2e-3}, 0.);
  const double rise = 3e-3;
  limb.section.back = ArcFace{0., rise};
  limb.section.follow_crown = true;
  const LimbShape shape(limb);
  const Section crown = segment((wide * wide / 4. + rise * rise) / (2. * rise), rise);
  const double mean_fall = rise - crown.area / wide;
  constexpr int n = 100000;
  std::array<double, 3> area{}, first{};
  for (int i = 0; i < n; ++i)
  {
    const double depth = (i + 0.5) * thick / n, slice = shape.width(0.3, depth) * thick / n;
    const std::size_t own = depth < 2e-3 ? 2 : depth < 3e-3 ? 1 : 0;
    double whole = 0.;
    for (const auto &[lamination, share] : shape.across(own, 0.3, depth))
    {
      area[lamination] += share * slice;
      first[lamination] += share * slice * depth;
      whole += share;
    }
    REQUIRE(whole == Approx(1.));
  }
  CHECK(area[2] == Approx(wide * 2e-3).epsilon(1e-3));
  CHECK(area[1] == Approx(wide * 1e-3).epsilon(1e-3));
  CHECK(area[0] == Approx(wide * (9e-3 - mean_fall)).epsilon(1e-3));
  CHECK(first[2] / area[2] == Approx(1e-3 + mean_fall).epsilon(1e-3));
  CHECK(first[1] / area[1] == Approx(2.5e-3 + mean_fall).epsilon(1e-3));
  // Twice as dense outside, and no more of it than there is.
  CHECK(shape.mass({700., 700., 1400.}, {0., 0.}) ==
        Approx(0.6 * (700. * (wide * (thick - mean_fall) - wide * 2e-3) + 1400. * wide * 2e-3)).epsilon(2e-3));
  limb.section.follow_crown = false;
  CHECK(LimbShape(limb).across(1, 0.3, 2.5e-3) == std::vector<std::pair<std::size_t, double>>{{1, 1.}});
}

// A thin backing bent over a crown, and a handle block that runs to nothing on the flat belly of the core: the block is thinner
// than the crown's rise before it ends.
TEST_CASE("A block that runs out on the belly does not take up what a crowned back falls", "[quick]")
{
  const double rise = 1.6e-3, long_as = 0.4;
  LimbDescription limb = strip(long_as, wide, {1e-3, 9e-3, 2e-3}, 0.1e-3);
  limb.laminations[0] = lamination("block", {{0., 0.15}, {20e-3, 0.}}, 0., 0.15);
  limb.section.back = ArcFace{0., rise};
  limb.section.follow_crown = true;
  const LimbShape shape(limb);
  REQUIRE(shape.back_falls());
  const auto fallen = [&](std::size_t lamination, double s, double depth)
  { return shape.in_section(lamination, s, depth, 1.).depth - depth; };
  const double near_end = 0.1489;
  REQUIRE(shape.thickness(0, near_end) < 0.1 * rise);
  for (const double s : {0.05, near_end})
  {
    CHECK(fallen(0, s, shape.belly_face_depth(0, s)) == Approx(0.).margin(1e-12));
    CHECK(fallen(0, s, shape.back_face_depth(0, s)) == Approx(0.).margin(1e-12));
    CHECK(fallen(1, s, shape.belly_face_depth(1, s)) == Approx(0.).margin(1e-12));
    CHECK(fallen(1, s, shape.back_face_depth(1, s)) == Approx(rise));
    CHECK(fallen(2, s, shape.belly_face_depth(2, s)) == Approx(rise));
    // The side view's slices see the same: none of the core in the block, none of the block in the core.
    const auto at = [&](std::size_t lamination, double of_thickness)
    { return shape.across(lamination, s, shape.back_face_depth(lamination, s) + of_thickness * shape.thickness(lamination, s)); };
    CHECK(at(0, 0.5) == std::vector<std::pair<std::size_t, double>>{{0, 1.}});
    CHECK(at(1, 0.99) == std::vector<std::pair<std::size_t, double>>{{1, 1.}});
    CHECK(at(1, 0.1).size() == 2);
  }
  MeshSettings settings;
  settings.column_length = 5e-3;
  settings.rows_per_lamination = 2;
  CHECK_NOTHROW(LimbMesh<3>(shape, settings));
}

TEST_CASE("Enough rows follow a round face, and no more than needed fill a thick block", "[quick]")
{
  const auto rows = [](const LimbDescription &limb)
  {
    std::vector<int> n(limb.laminations.size(), 0);
    const LimbMesh<2> mesh(LimbShape(limb), MeshSettings{});
    for (const auto &place : mesh.places())
      n[static_cast<std::size_t>(place.lamination)] = place.n_rows;
    return n;
  };
  LimbDescription limb = strip(0.6, wide, {8e-3, 1e-3, 1e-3}, 0.1e-3);
  CHECK(rows(limb) == std::vector<int>{5, 1, 1});
  limb.section.back = RoundedEdges{0.9e-3};
  CHECK(rows(limb) == std::vector<int>{5, 1, 6});
  limb.section.back = ArcFace{0., 2e-3};
  CHECK(rows(limb) == std::vector<int>{5, 6, 6});
  CHECK(rows(strip(0.6, wide, {40e-3, 1e-3}, 0.1e-3)) == std::vector<int>{6, 1});
}
