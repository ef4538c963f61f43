#include "meshing/mesh/limb_mesh.h"

#include "meshing/mesh/columns.h"
#include "meshing/mesh/strips.h"

#include <deal.II/base/quadrature_lib.h>
#include <deal.II/fe/fe_nothing.h>
#include <deal.II/fe/fe_q.h>
#include <deal.II/fe/fe_values.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <stdexcept>
#include <utility>

namespace limbwright
{
namespace
{
constexpr double most_cells = 2e6;

// Rows are chosen by thickness, but more thickness than this [m] adds none: quadratic elements follow a thick riser's bending and
// shear with few rows, and all of them go on to its feather. Six rows of the usual height.
constexpr double thickness_that_counts = 9.6e-3;
// Where the width changes unevenly with the depth: with six rows a bar round on both faces is 0.5 % too soft.
constexpr int least_rows_of_round_section = 6;
// Rows go on along the whole limb, so a knot has fewer of them than of columns; a pin knot still fewer.
constexpr double rows_per_knot = 4.;
constexpr int most_rows_for_a_knot = 24;

int n_rows(const LimbShape &shape, const std::size_t lamination, const MeshSettings &settings)
{
  if (settings.rows_per_lamination > 0)
    return settings.rows_per_lamination;
  const int least = shape.face_reaches_into(lamination) ? least_rows_of_round_section : 1;
  const double thickness = std::min(shape.full_thickness(lamination), thickness_that_counts);
  int rows = std::max(static_cast<int>(std::lround(thickness / settings.row_height)), least);
  // A knot that lies across is round in the side view.
  for (const Knot &knot : shape.description().weak.knots)
    if (knot.lamination == shape.first_piece(lamination) && knot.direction != KnotDirection::through)
      rows =
          std::max(rows, std::min(most_rows_for_a_knot,
                                  static_cast<int>(std::ceil(rows_per_knot * shape.full_thickness(lamination) / knot.diameter))));
  return rows;
}
} // namespace

template <int dim>
LimbMesh<dim>::LimbMesh(const LimbShape &shape, const MeshSettings &settings)
    : LimbMesh(shape, settings, limbwright::column_stations(shape, settings))
{
}

template <int dim>
LimbMesh<dim>::LimbMesh(const LimbShape &shape, const MeshSettings &settings, std::vector<double> given_stations)
    : limb_shape(shape), stations(std::move(given_stations)), cache(2)
{
  const auto among_them = [this](const double s)
  {
    const auto next = std::lower_bound(stations.begin(), stations.end(), s - same_station);
    return next != stations.end() && *next <= s + same_station;
  };
  const LimbDescription &limb = shape.description();
  const double nock = limb.nock.station;
  bool fits = among_them(limb.root_station) && among_them(limb.tip_station) &&
              (nock <= limb.root_station || nock >= limb.tip_station || among_them(nock));
  for (const LaminationEnd &end : shape.lamination_ends())
    fits = fits && among_them(end.station);
  if (!fits)
    throw std::invalid_argument("The columns of this mesh do not begin and end where the limb's laminations do.");
  place_cells(settings);
  build_triangulation();
  curve_cells();
  pair_glue_faces();
}

template <int dim>
void LimbMesh<dim>::place_cells(const MeshSettings &settings)
{
  if (settings.rows_per_lamination < 0 || !(settings.row_height > 0.))
    throw std::invalid_argument("Every lamination needs at least one row of elements, of a height above zero.");
  if (dim == 3 && settings.strips < 1)
    throw std::invalid_argument("A solid limb needs at least one strip of elements across half its width.");
  if constexpr (dim == 2)
    borders = {0., 0.};
  else
    borders = limbwright::strip_borders(limb_shape, settings);
  const int n_strips = static_cast<int>(borders.size()) - 1;
  std::vector<int> rows(limb_shape.n_laminations());
  double cells = 0.;
  for (std::size_t i = 0; i < rows.size(); ++i)
  {
    rows[i] = n_rows(limb_shape, i, settings);
    cells += static_cast<double>(rows[i]) * n_columns() * n_strips;
  }
  if (cells > most_cells)
    throw std::runtime_error("The mesh would have more than two million elements: ask for longer or higher elements, or look "
                             "for a lamination that is far too thin.");

  for (int column = 0; column < n_columns(); ++column)
  {
    const auto c = static_cast<std::size_t>(column);
    const double middle = 0.5 * (stations[c] + stations[c + 1]);
    for (int strip = 0; strip < n_strips; ++strip)
      for (std::size_t i = 0; i < rows.size(); ++i)
        if (limb_shape.present(i, middle))
          for (int row = 0; row < rows[i]; ++row)
            cell_places.push_back({static_cast<int>(i), column, row, rows[i], strip});
  }
}

template <int dim>
std::array<double, 2> LimbMesh<dim>::station_depth(const unsigned int active_cell, const double xi, const double eta) const
{
  const CellPlace &place = cell_places[active_cell];
  const auto column = static_cast<std::size_t>(place.column);
  const auto lamination = static_cast<std::size_t>(place.lamination);
  const double s = (1. - eta) * stations[column] + eta * stations[column + 1];
  const double from_belly = (place.row + xi) / place.n_rows;
  return {s, limb_shape.back_face_depth(lamination, s) + (1. - from_belly) * limb_shape.thickness(lamination, s)};
}

template <int dim>
double LimbMesh<dim>::across(const unsigned int active_cell, const double zeta) const
{
  const auto strip = static_cast<std::size_t>(cell_places[active_cell].strip);
  return (1. - zeta) * borders[strip] + zeta * borders[strip + 1];
}

template <int dim>
dealii::Point<dim> LimbMesh<dim>::place(const unsigned int active_cell, const dealii::Point<dim> &local) const
{
  auto [s, depth] = station_depth(active_cell, local[0], local[1]);
  dealii::Point<dim> result;
  if constexpr (dim == 3)
  {
    const auto lamination = static_cast<std::size_t>(cell_places[active_cell].lamination);
    const auto in_section = limb_shape.in_section(lamination, s, depth, across(active_cell, local[2]));
    depth = in_section.depth;
    result[2] = in_section.z;
  }
  const Point2 in_side_view = limb_shape.place(s, depth);
  result[0] = in_side_view[0];
  result[1] = in_side_view[1];
  return result;
}

template <int dim>
void LimbMesh<dim>::build_triangulation()
{
  // Vertices by lamination, border between columns, between rows and between strips: never shared between laminations.
  constexpr unsigned int n_vertices = 1u << dim;
  std::vector<dealii::Point<dim>> vertices;
  std::vector<dealii::CellData<dim>> cells(cell_places.size());
  std::map<std::array<int, 4>, unsigned int> vertex_of;
  for (unsigned int cell = 0; cell < cells.size(); ++cell)
  {
    const CellPlace &place_of_cell = cell_places[cell];
    cells[cell].vertices.resize(n_vertices);
    cells[cell].material_id = static_cast<dealii::types::material_id>(place_of_cell.lamination);
    for (unsigned int v = 0; v < n_vertices; ++v)
    {
      dealii::Point<dim> local;
      std::array<int, 3> step{};
      for (unsigned int d = 0; d < dim; ++d)
      {
        step[d] = static_cast<int>(v >> d & 1u);
        local[d] = step[d];
      }
      const auto [entry, added] = vertex_of.try_emplace(
          {place_of_cell.lamination, place_of_cell.column + step[1], place_of_cell.row + step[0], place_of_cell.strip + step[2]},
          vertices.size());
      if (added)
        vertices.push_back(place(cell, local));
      cells[cell].vertices[v] = entry->second;
    }
  }
  tria.create_triangulation(vertices, cells, dealii::SubCellData());

  for (const auto &cell : tria.active_cell_iterators())
  {
    const CellPlace &place_of_cell = cell_places[cell->active_cell_index()];
    const auto column = static_cast<std::size_t>(place_of_cell.column);
    const double middle = 0.5 * (stations[column] + stations[column + 1]);
    const auto lamination = static_cast<std::size_t>(place_of_cell.lamination);
    bool innermost = true;
    for (std::size_t below = 0; below < lamination; ++below)
      innermost = innermost && !limb_shape.present(below, middle);
    const bool outermost = limb_shape.next_toward_back(lamination, middle) == limb_shape.n_laminations();
    const std::array<dealii::types::boundary_id, 6> id{innermost ? boundary::belly : boundary::glue,
                                                       outermost ? boundary::back : boundary::glue,
                                                       place_of_cell.column == 0 ? boundary::root : boundary::layer_end,
                                                       place_of_cell.column == n_columns() - 1 ? boundary::tip
                                                                                               : boundary::layer_end,
                                                       boundary::edge,
                                                       boundary::far_edge};
    for (const unsigned int f : cell->face_indices())
      if (cell->face(f)->at_boundary())
        cell->face(f)->set_boundary_id(id[f]);
  }
}

template <int dim>
void LimbMesh<dim>::curve_cells()
{
  const dealii::FE_Q<dim> quadratic(2);
  cache.initialize(tria,
                   [&](const typename dealii::Triangulation<dim>::cell_iterator &cell)
                   {
                     std::vector<dealii::Point<dim>> points;
                     for (const dealii::Point<dim> &local : quadratic.get_unit_support_points())
                       points.push_back(place(cell->active_cell_index(), local));
                     return points;
                   });

  const dealii::FE_Nothing<dim> nothing;
  dealii::FEValues<dim> geometry(cache, nothing, dealii::QGauss<dim>(3), dealii::update_JxW_values);
  for (const auto &cell : tria.active_cell_iterators())
  {
    geometry.reinit(cell);
    const auto &volumes = geometry.get_JxW_values();
    if (!std::all_of(volumes.begin(), volumes.end(), [](const double v) { return v > 0.; }))
    {
      const CellPlace &place = cell_places[cell->active_cell_index()];
      throw std::runtime_error("An element of lamination " +
                               limb_shape.description().laminations[static_cast<std::size_t>(place.lamination)].name + " at " +
                               std::to_string(1e3 * stations[static_cast<std::size_t>(place.column)]) +
                               " mm along the back is turned inside out: the limb curves or changes thickness too sharply "
                               "there for elements this long.");
    }
  }
}

template <int dim>
void LimbMesh<dim>::pair_glue_faces()
{
  // In a strip of a column the cells follow each other from the belly to the back, so the two cells at a glue line are
  // consecutive.
  for (unsigned int cell = 0; cell + 1 < cell_places.size(); ++cell)
  {
    const CellPlace &belly = cell_places[cell], &back = cell_places[cell + 1];
    if (belly.column != back.column || belly.strip != back.strip || belly.lamination == back.lamination)
      continue;
    GlueFace face{cell, cell + 1, belly.lamination, belly.column, {}, belly.strip};
    const auto column = static_cast<std::size_t>(belly.column);
    for (std::size_t i = 0; i < 3; ++i)
    {
      const double eta = 0.5 * static_cast<double>(i);
      const double s = (1. - eta) * stations[column] + eta * stations[column + 1];
      face.thickness[i] =
          limb_shape.gap(static_cast<std::size_t>(belly.lamination), static_cast<std::size_t>(back.lamination), s);
    }
    glue.push_back(face);
  }
}

template <int dim>
double LimbMesh<dim>::distance_to_end(const double station) const
{
  const LimbDescription &limb = limb_shape.description();
  double distance = std::numeric_limits<double>::infinity();
  for (const double s : {limb.root_station, limb.tip_station, limb.nock.station})
    distance = std::min(distance, std::abs(station - s));
  for (const GlueLineDescription &line : limb.glue)
    for (const GluePatch &patch : line.patches)
      if (patch.open())
        distance = std::min({distance, std::abs(station - patch.from), std::abs(station - patch.to)});
  for (const LaminationEnd &end : limb_shape.lamination_ends())
    distance = std::min(distance, std::abs(station - end.station));
  return distance;
}

template <int dim>
bool LimbMesh<dim>::near_end(const double station) const
{
  return distance_to_end(station) <= limb_shape.stack(station);
}

template class LimbMesh<2>;
template class LimbMesh<3>;
} // namespace limbwright
