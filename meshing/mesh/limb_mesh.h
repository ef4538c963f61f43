#pragma once

#include "meshing/mesh/mesh_settings.h"
#include "meshing/shape/limb_shape.h"

#include <deal.II/fe/mapping_q_cache.h>
#include <deal.II/grid/tria.h>

#include <array>
#include <vector>

namespace limbwright
{
/// Boundary indicators of the mesh.
namespace boundary
{
inline constexpr dealii::types::boundary_id glue = 0;      //!< against a glue line
inline constexpr dealii::types::boundary_id root = 1;      //!< end face at the handle
inline constexpr dealii::types::boundary_id tip = 2;       //!< end face at the tip
inline constexpr dealii::types::boundary_id belly = 3;     //!< free surface on the belly side
inline constexpr dealii::types::boundary_id back = 4;      //!< free surface on the back side
inline constexpr dealii::types::boundary_id layer_end = 5; //!< where a lamination ends within the limb
inline constexpr dealii::types::boundary_id edge = 6;      //!< of a solid: at z < 0, or the middle plane of a half one
inline constexpr dealii::types::boundary_id far_edge = 7;  //!< of a solid: at z > 0
} // namespace boundary

/// The limb's mesh: one structured block of quadrilaterals, or of hexahedra, per lamination, columns common to all of them, no
/// vertex shared across a glue line. Quadratic geometry, exact at the nodes of the map (station, depth, share of the width).
/// Cells are numbered column by column from root to tip, in a column strip by strip across the width, in a strip from the belly
/// to the back; the material indicator is the lamination's index.
///
/// In the limb's frame: x toward the target, y toward the tip, z across. In every cell the first local coordinate runs from the
/// belly to the back, the second from the root to the tip, the third of a solid across the width:
///
///        tip            local vertices:  2 --- 3     (a solid: 4 to 7 the same, farther along z)
///     2 ----- 3                          |     |
///  belly|     | back                     0 --- 1
///     0 ----- 1                          local faces: 0 belly, 1 back, 2 root, 3 tip, 4 and 5 the edges
///       root
///
/// A solid is as wide at each depth as the section says. A half one reaches from the middle plane to one edge.
///
/// Throws std::invalid_argument for settings without sense, std::runtime_error where there would be absurdly many elements or
/// some would be turned inside out.
template <int dim>
class LimbMesh
{
public:
  struct CellPlace
  {
    int lamination;
    int column; //!< from the root
    int row;    //!< within the lamination, from the belly
    int n_rows; //!< rows of that lamination
    int strip;  //!< across the width, from z < 0; 0 in the side view
  };

  /// Two cells of one column whose faces look at each other across a glue line.
  struct GlueFace
  {
    unsigned int belly_cell; //!< active cell index; its face 1 (back)
    unsigned int back_cell;  //!< active cell index; its face 0 (belly)
    int line;                //!< index of the lamination on the belly side = glue line
    int column;
    std::array<double, 3> thickness; //!< [m] gap at root end, middle, tip end of the column, along the normal
    int strip;                       //!< across the width
  };

  LimbMesh(const LimbShape &shape, const MeshSettings &settings);
  /// With the column stations [m] of another mesh, root to tip, of a limb whose lamination ends and nock are where that one's
  /// are.
  LimbMesh(const LimbShape &shape, const MeshSettings &settings, std::vector<double> given_stations);

  const dealii::Triangulation<dim> &triangulation() const { return tria; }
  const dealii::Mapping<dim> &mapping() const { return cache; }
  const LimbShape &shape() const { return limb_shape; }

  /// By active cell index.
  const std::vector<CellPlace> &places() const { return cell_places; }
  /// Column by column, in a column strip by strip, in a strip from the belly to the back.
  const std::vector<GlueFace> &glue_faces() const { return glue; }

  int n_columns() const { return static_cast<int>(stations.size()) - 1; }
  /// [m] n_columns() + 1 stations, ascending, from root to tip; the nock's station and every layer end are among them.
  const std::vector<double> &column_stations() const { return stations; }

  /// (station, depth) of the local point (xi, eta) in [0,1]^2 of a cell. [m]
  std::array<double, 2> station_depth(unsigned int active_cell, double xi, double eta) const;

  /// Borders of the strips as shares of half the width, ascending, -1 or 0 to 1; the side view has one strip, 0 to 0.
  const std::vector<double> &strip_borders() const { return borders; }
  /// Whether only half of the limb's width is meshed.
  bool half_width() const { return dim == 3 && borders.front() == 0.; }
  /// Share of half the width at the third local coordinate zeta in [0,1] of a cell [1]; 0 in the side view.
  double across(unsigned int active_cell, double zeta) const;

  /// [m] to the nearest clamp, nock, tip, end of an open patch of glue or layer end.
  double distance_to_end(double station) const;
  /// Whether that is no more than one local thickness (stack).
  bool near_end(double station) const;

private:
  LimbShape limb_shape;
  std::vector<double> stations, borders;
  std::vector<CellPlace> cell_places;
  std::vector<GlueFace> glue;
  dealii::Triangulation<dim> tria;
  dealii::MappingQCache<dim> cache;

  void place_cells(const MeshSettings &settings);
  dealii::Point<dim> place(unsigned int active_cell, const dealii::Point<dim> &local) const;
  void build_triangulation();
  void curve_cells();
  void pair_glue_faces();
};
} // namespace limbwright
