#include "meshing/mesh/columns.h"
#include "meshing/mesh/limb_mesh.h"

#include "sample_limbs.h"

#include <deal.II/base/quadrature_lib.h>
#include <deal.II/fe/fe_nothing.h>
#include <deal.II/fe/fe_values.h>

#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>
#include <vector>

using namespace limbwright;
using namespace limbwright::sample;

namespace
{
std::vector<LimbDescription> all_samples()
{
  return {bamboo_backed(), glass_longbow(), recurve()};
}

// Areas of the laminations' cells. [m2]
std::vector<double> areas(const LimbMesh<2> &mesh)
{
  std::vector<double> area(mesh.shape().n_laminations(), 0.);
  const dealii::FE_Nothing<2> nothing;
  dealii::FEValues<2> geometry(mesh.mapping(), nothing, dealii::QGauss<2>(3), dealii::update_JxW_values);
  for (const auto &cell : mesh.triangulation().active_cell_iterators())
  {
    geometry.reinit(cell);
    for (const unsigned int q : geometry.quadrature_point_indices())
    {
      REQUIRE(geometry.JxW(q) > 0.);
      area[cell->material_id()] += geometry.JxW(q);
    }
  }
  return area;
}

double largest_ratio(const std::vector<double> &stations)
{
  double largest = 1.;
  for (std::size_t i = 1; i + 1 < stations.size(); ++i)
  {
    const double ratio = (stations[i + 1] - stations[i]) / (stations[i] - stations[i - 1]);
    largest = std::max({largest, ratio, 1. / ratio});
  }
  return largest;
}

double distance_to_column(const LimbMesh<2> &mesh, const double s)
{
  double nearest = 1.;
  for (const double station : mesh.column_stations())
    nearest = std::min(nearest, std::abs(station - s));
  return nearest;
}

std::size_t column_at(const LimbMesh<2> &mesh, const double s)
{
  const auto &stations = mesh.column_stations();
  return static_cast<std::size_t>(std::upper_bound(stations.begin(), stations.end(), s) - stations.begin() - 1);
}
} // namespace

TEST_CASE("Elements along the limb are graded and meet every end", "[quick]")
{
  for (const LimbDescription &limb : all_samples())
    for (const double length : {0., 3e-3, 9e-3})
    {
      MeshSettings settings;
      settings.column_length = length;
      const LimbMesh<2> mesh(LimbShape(limb), settings);
      CHECK(largest_ratio(mesh.column_stations()) <= settings.growth * (1. + 1e-5));
      CHECK(mesh.column_stations().front() == limb.root_station);
      CHECK(mesh.column_stations().back() == limb.tip_station);
      CHECK(distance_to_column(mesh, limb.nock.station) < 1e-12);
      for (const LaminationEnd &end : mesh.shape().lamination_ends())
        CHECK(distance_to_column(mesh, end.station) == 0.);
      const double wanted = length > 0. ? length : mesh.shape().length() / 120.;
      for (std::size_t i = 0; i + 1 < mesh.column_stations().size(); ++i)
        REQUIRE(mesh.column_stations()[i + 1] - mesh.column_stations()[i] <= wanted * 1.0001);
    }
}

TEST_CASE("Borders close together do not spoil the grading", "[quick]")
{
  for (const double distance : {0.1e-3, 0.7e-3, 4e-3, 11e-3})
    for (const double growth : {1.2, 1.5, 2.})
    {
      LimbDescription limb = glass_longbow();
      limb.nock.station = limb.tip_station - distance;
      limb.laminations[5].start = LimbShape(limb).end(2) + 0.5 * distance;
      limb.laminations[6].start = limb.laminations[5].start;
      MeshSettings settings;
      settings.growth = growth;
      const LimbShape shape(limb);
      const std::vector<double> stations = column_stations(shape, settings);
      CHECK(largest_ratio(stations) <= growth * (1. + 1e-5));
      CHECK(stations.size() < 600);
    }
}

TEST_CASE("Elements at a lamination end are a fraction of the thinnest neighbour", "[quick]")
{
  const LimbMesh<2> mesh(LimbShape(glass_longbow()), {});
  const auto &stations = mesh.column_stations();
  // At the power lamination's end the thinner neighbour is the parallel maple, 0.040 in.
  const std::size_t column = column_at(mesh, mesh.shape().end(2) + 1e-9);
  CHECK(stations[column + 1] - stations[column] <= 0.25 * 0.04 * inch * 1.25);
  CHECK(stations[column] - stations[column - 1] <= 0.25 * 0.04 * inch * 1.25);

  MeshSettings coarse;
  coarse.end_refinement = 0.;
  CHECK(LimbMesh<2>(LimbShape(glass_longbow()), coarse).n_columns() < mesh.n_columns());
}

TEST_CASE("Cells of every lamination fill its area", "[quick]")
{
  for (const LimbDescription &limb : all_samples())
  {
    const LimbMesh<2> mesh(LimbShape(limb), {});
    const LimbShape &shape = mesh.shape();
    const std::vector<double> area = areas(mesh);
    for (std::size_t i = 0; i < shape.n_laminations(); ++i)
    {
      // Integral of thickness times the stretch of the lamination's middle, by midpoints.
      const int n = 20000;
      double expected = 0.;
      for (int j = 0; j < n; ++j)
      {
        const double s = shape.start(i) + (j + 0.5) / n * (shape.end(i) - shape.start(i));
        const double middle = 0.5 * (shape.back_face_depth(i, s) + shape.belly_face_depth(i, s));
        expected += shape.thickness(i, s) * (1. + middle * limb.profile.lean.slope(s)) * (shape.end(i) - shape.start(i)) / n;
      }
      CHECK(area[i] == Approx(expected).epsilon(1e-5));
    }
  }
}

TEST_CASE("Quadratic cells follow an arc closely", "[quick]")
{
  constexpr double pi = 3.14159265358979323846;
  const double radius = 0.1, thickness = 0.01, length = 0.5 * pi * radius;
  LimbDescription limb = strip(length, 0.03, {thickness}, 0.);
  limb.profile.lean = {{0., length}, {0., 0.5 * pi}};
  MeshSettings settings;
  settings.column_length = length / 20.;
  settings.rows_per_lamination = 3;
  const LimbMesh<2> mesh(LimbShape(limb), settings);
  CHECK(mesh.n_columns() == 20);
  CHECK(mesh.triangulation().n_active_cells() == 60);
  // The error of area is of fourth order in the angle an element spans: (pi/40)^4 / 180.
  CHECK(areas(mesh)[0] == Approx(0.25 * pi * (0.11 * 0.11 - 0.1 * 0.1)).epsilon(1e-6));
}

TEST_CASE("The mapping agrees with the shape at the nodes, and cells face the way they say", "[quick]")
{
  const LimbMesh<2> mesh(LimbShape(recurve()), {});
  const LimbShape &shape = mesh.shape();
  for (const auto &cell : mesh.triangulation().active_cell_iterators())
  {
    const unsigned int index = cell->active_cell_index();
    for (const double xi : {0., 0.5, 1.})
      for (const double eta : {0., 0.5, 1.})
      {
        const auto [s, depth] = mesh.station_depth(index, xi, eta);
        const Point2 place = shape.place(s, depth);
        const dealii::Point<2> mapped = mesh.mapping().transform_unit_to_real_cell(cell, {xi, eta});
        REQUIRE(mapped.distance({place[0], place[1]}) < 1e-12);
      }
    REQUIRE(mesh.station_depth(index, 1., 0.5)[1] < mesh.station_depth(index, 0., 0.5)[1]);
    REQUIRE(mesh.station_depth(index, 0.5, 0.)[0] < mesh.station_depth(index, 0.5, 1.)[0]);
  }
}

TEST_CASE("No vertex is shared across a glue line, also where the glue has no thickness", "[quick]")
{
  MeshSettings settings;
  settings.column_length = 0.05;
  settings.rows_per_lamination = 2;
  const LimbMesh<2> mesh(LimbShape(strip(0.5, 0.03, {4e-3, 3e-3, 2e-3}, 0.)), settings);
  CHECK(mesh.n_columns() == 10);
  CHECK(mesh.triangulation().n_active_cells() == 60);
  CHECK(mesh.triangulation().n_used_vertices() == 3 * 11 * 3);
  REQUIRE(mesh.glue_faces().size() == 20);
  for (const auto &face : mesh.glue_faces())
    for (const double thickness : face.thickness)
      CHECK(thickness == 0.);
}

TEST_CASE("Glue faces pair the right laminations before and beyond a lamination's end", "[quick]")
{
  const LimbMesh<2> mesh(LimbShape(glass_longbow()), {});
  const LimbShape &shape = mesh.shape();
  const auto pairs = [&](const std::size_t column)
  {
    std::vector<std::pair<int, int>> found;
    for (const auto &face : mesh.glue_faces())
      if (face.column == static_cast<int>(column))
      {
        CHECK(face.line == mesh.places()[face.belly_cell].lamination);
        found.emplace_back(mesh.places()[face.belly_cell].lamination, mesh.places()[face.back_cell].lamination);
      }
    return found;
  };
  using Pairs = std::vector<std::pair<int, int>>;
  CHECK(pairs(column_at(mesh, shape.end(2) - 1e-6)) == Pairs{{0, 1}, {1, 2}, {2, 4}, {4, 5}, {5, 6}});
  CHECK(pairs(column_at(mesh, shape.end(2) + 1e-6)) == Pairs{{0, 1}, {1, 4}, {4, 5}, {5, 6}});
  CHECK(pairs(column_at(mesh, shape.start(3) - 1e-6)) == Pairs{{0, 1}, {1, 4}, {4, 5}, {5, 6}});
  CHECK(pairs(column_at(mesh, shape.start(3) + 1e-6)) == Pairs{{0, 1}, {1, 3}, {3, 4}, {4, 5}, {5, 6}});
}

TEST_CASE("A glue face's thickness is the distance of the two cells' faces", "[quick]")
{
  for (const LimbDescription &limb : {glass_longbow(), recurve()})
  {
    const LimbMesh<2> mesh(LimbShape(limb), {});
    double thickest = 0.;
    for (const auto &face : mesh.glue_faces())
      for (std::size_t i = 0; i < 3; ++i)
      {
        const double eta = 0.5 * static_cast<double>(i);
        const auto [s, belly_side] = mesh.station_depth(face.belly_cell, 1., eta);
        const auto [s_back, back_side] = mesh.station_depth(face.back_cell, 0., eta);
        REQUIRE(s == s_back);
        REQUIRE(face.thickness[i] == Approx(belly_side - back_side).margin(1e-15));
        thickest = std::max(thickest, face.thickness[i]);
      }
    // Right beyond an end the line is as thick as the feather and the two lines that meet there.
    CHECK(thickest == Approx(0.327e-3).epsilon(1e-6));
  }
}

TEST_CASE("Boundaries are where they are said to be", "[quick]")
{
  LimbDescription limb = strip(0.6, 0.03, {5e-3, 3e-3}, 0.1e-3);
  limb.laminations[1].end = 0.4;
  const LimbMesh<2> mesh(LimbShape(limb), {});
  for (const auto &cell : mesh.triangulation().active_cell_iterators())
    for (const unsigned int f : cell->face_indices())
      if (cell->face(f)->at_boundary())
      {
        const dealii::Point<2> centre = cell->face(f)->center();
        dealii::types::boundary_id expected = boundary::glue;
        if (centre[1] < 1e-9)
          expected = boundary::root;
        else if (centre[1] > 0.6 - 1e-9)
          expected = boundary::tip;
        else if (centre[0] < -5e-3 + 1e-9)
          expected = boundary::belly;
        else if (centre[0] > 3.1e-3 - 1e-9 || (centre[1] > 0.4 && centre[0] > -1e-9))
          expected = boundary::back;
        else if (std::abs(centre[1] - 0.4) < 1e-9)
          expected = boundary::layer_end;
        REQUIRE(cell->face(f)->boundary_id() == expected);
      }
}

TEST_CASE("Near an end means within the stack's thickness of it", "[quick]")
{
  const LimbDescription limb = glass_longbow();
  const LimbMesh<2> mesh(LimbShape(limb), {});
  const double stack = mesh.shape().stack(limb.root_station);
  CHECK(mesh.near_end(limb.root_station + 0.95 * stack));
  CHECK_FALSE(mesh.near_end(limb.root_station + 1.01 * stack));
  CHECK(mesh.near_end(limb.tip_station - 1e-3));
  const double end = mesh.shape().end(2);
  const double local = mesh.shape().stack(end + 10e-3);
  CHECK(mesh.near_end(end - 0.99 * local));
  CHECK_FALSE(mesh.near_end(end - 1.2 * local));
  CHECK(mesh.near_end(end + 0.95 * local));
  CHECK_FALSE(mesh.near_end(end + 1.2 * local));
}

TEST_CASE("Absurd meshes are refused in plain words", "[quick]")
{
  const LimbShape shape(strip(0.6, 0.03, {5e-3, 3e-3}, 0.1e-3));
  MeshSettings settings;
  SECTION("far too many columns")
  {
    settings.column_length = 1e-7;
    CHECK_THROWS_WITH(LimbMesh<2>(shape, settings), Catch::Contains("million columns"));
  }
  SECTION("far too many rows")
  {
    settings.rows_per_lamination = 20000;
    CHECK_THROWS_WITH(LimbMesh<2>(shape, settings), Catch::Contains("million elements"));
  }
  SECTION("no growth")
  {
    settings.growth = 1.;
    CHECK_THROWS_WITH(LimbMesh<2>(shape, settings), Catch::Contains("growth"));
  }
}
