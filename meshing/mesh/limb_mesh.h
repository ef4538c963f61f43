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
} // namespace boundary

/// The limb's mesh: one structured block of quadrilaterals per lamination, columns common to all of them, no vertex shared
/// across a glue line. Quadratic geometry, exact at the nodes of the map (station, depth). Cells are numbered column by column
/// from root to tip, in a column from the belly to the back; the material indicator is the lamination's index.
///
/// Side view, in the limb's frame (x toward the target, y toward the tip). In every cell the first local coordinate runs from
/// the belly to the back, the second from the root to the tip:
///
///        tip            local vertices:  2 --- 3
///     2 ----- 3                          |     |
///  belly|     | back                     0 --- 1
///     0 ----- 1                          local faces: 0 belly, 1 back, 2 root, 3 tip
///       root
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
  };

  /// Two cells of one column whose faces look at each other across a glue line.
  struct GlueFace
  {
    unsigned int belly_cell; //!< active cell index; its face 1 (back)
    unsigned int back_cell;  //!< active cell index; its face 0 (belly)
    int line;                //!< index of the lamination on the belly side = glue line
    int column;
    std::array<double, 3> thickness; //!< [m] gap at root end, middle, tip end of the column, along the normal
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
  /// Column by column, in a column from the belly to the back.
  const std::vector<GlueFace> &glue_faces() const { return glue; }

  int n_columns() const { return static_cast<int>(stations.size()) - 1; }
  /// [m] n_columns() + 1 stations, ascending, from root to tip; the nock's station and every layer end are among them.
  const std::vector<double> &column_stations() const { return stations; }

  /// (station, depth) of the local point (xi, eta) in [0,1]^2 of a cell. [m]
  std::array<double, 2> station_depth(unsigned int active_cell, double xi, double eta) const;

  /// True where the column lies within one local thickness (stack) of the clamp, the nock, the tip, the end of an open patch of
  /// glue or a layer end, the pocket beyond an inner end included.
  bool near_end(double station) const;

private:
  LimbShape limb_shape;
  std::vector<double> stations;
  std::vector<CellPlace> cell_places;
  std::vector<GlueFace> glue;
  dealii::Triangulation<dim> tria;
  dealii::MappingQCache<dim> cache;

  void place_cells(const MeshSettings &settings);
  void build_triangulation();
  void curve_cells();
  void pair_glue_faces();
};
} // namespace limbwright
