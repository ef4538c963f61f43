#pragma once

#include "materials/material.h"
#include "solver/model/limb_model.h"
#include "solver/model/supports.h"
#include "solver/model/tension_band.h"
#include "solver/model/weak_parts.h"

#include <string>
#include <utility>

namespace limbwright
{
template <int dim>
class LimbMesh;

/// A limb as a mechanical system: quadratic Lagrange elements, one block per lamination, bridged by interface elements at the
/// glue lines. Total Lagrangian; every lamination is a St. Venant-Kirchhoff solid, orthotropic in grain axes that are fixed in
/// the unstrung shape: S = C E, energy per reference volume E : C : E / 2 (Bonet and Wood 2008, sec. 6.4; Holzapfel 2000,
/// sec. 6.5). The side view is weighted with the local width, a solid that is half as wide counts twice. Wood may yield in
/// compression along the grain (materials/law/crushing.h): assemble() and energy() start from the committed history, which only
/// commit() moves on.
///
/// Prestrain: a lamination that would shrink, or was bent when it was glued, is strained in the unstrung shape already. Every
/// strain and stress here is counted from where the material itself is at rest: E = strain of the displacement + prestrain.
template <int dim>
class LayeredSolid : public LimbModel
{
public:
  static constexpr int n_nodes_per_cell = dim == 2 ? 9 : 27;
  static constexpr int n_nodes_per_face = dim == 2 ? 3 : 9; //!< of a cell, toward a glue line
  static constexpr int n_slips = dim - 1;                   //!< ways in which the faces of a glue line slide on each other
  /// Order in the side view: L, N (through the thickness), LN engineering shear; in a solid L, N, W (across the width), NW, LW,
  /// LN.
  static constexpr int n_strains = dim * (dim + 1) / 2;
  static constexpr int shear_LN = n_strains - 1; //!< number of the strain that the side view has too
  using Strain = Eigen::Matrix<double, n_strains, 1>;
  using Stiffness = Eigen::Matrix<double, n_strains, n_strains>;

  struct Cell
  {
    int lamination, column, row;
    /// Local node (i, j, k) = i + 3 j + 9 k: i from belly to back, j from root to tip, k across the width.
    std::array<int, n_nodes_per_cell> nodes;
    int strip;
  };

  /// One glue line over one column (and strip of a solid): its belly-side and back-side nodes, local node (j, k) = j + 3 k: j
  /// from root to tip, k across the width.
  struct GlueElement
  {
    template <class T>
    using ByNode = std::array<T, n_nodes_per_face>;
    int line;
    int column;
    ByNode<int> belly_nodes, back_nodes;
    ByNode<double> thickness;                      //!< [m]
    ByNode<double> normal_stiffness;               //!< [Pa/m]
    ByNode<double> shear_stiffness;                //!< [Pa/m]
    ByNode<double> weight;                         //!< [m2] reference area that each node stands for
    ByNode<Eigen::Matrix<double, dim, 1>> at_rest; //!< [m] opening, slips there; see GlueSeparation
    bool can_part = false;                         //!< it softens and parts as `bond` says; else it is elastic
    bool open = false;                             //!< it never held: the faces only press on each other
    CohesiveBond bond;                             //!< of a node through bond_at()
    int strip = 0;

    CohesiveBond bond_at(int node) const
    {
      CohesiveBond here = bond;
      here.normal_stiffness = normal_stiffness[node];
      here.shear_stiffness = shear_stiffness[node];
      return here;
    }
  };

  /// A wrap between the faces of the limb at a node of a column, and in a solid at the edges alone: there it bears on the limb.
  struct Band
  {
    int column, belly_node, back_node;
    TensionBand law;
    double thread; //!< [m2] section of the thread that pulls there, all legs together
    int wrap;      //!< index in the limb's description
  };

  struct GlueTraction
  {
    double peel;              //!< [Pa] positive opening, per reference area
    double shear;             //!< [Pa] positive when the back side moves toward the tip
    double shear_across = 0.; //!< [Pa] of a solid: positive when the back side moves toward z > 0
  };
  using GlueTractions = std::array<GlueTraction, n_nodes_per_face>;
  using Separations = std::array<Eigen::Matrix<double, dim, 1>, n_nodes_per_face>;

  LayeredSolid(const LimbMesh<dim> &mesh, const std::map<std::string, Material> &materials,
               const std::map<std::string, Adhesive> &adhesives, PlaneState plane, const Supports &supports,
               const Communicator &communicator = Communicator::alone());

  /// Whether this process assembles what lies over a column.
  bool owns(int column) const { return column >= first_column && column < last_column; }
  int dimension() const override { return dim; }
  const LimbShape &shape() const override;
  const std::vector<double> &column_stations() const override;
  const LimbMesh<dim> &mesh() const { return limb_mesh; }
  /// Of a solid: only half of the width has nodes; volumes, areas and so forces and energies count both halves.
  bool half_width() const;
  const std::vector<Cell> &cells() const { return cell_list; }
  const std::vector<GlueElement> &glue() const { return glue_list; }
  const std::vector<Band> &bands() const { return band_list; }
  const Stiffness &stiffness(int lamination) const { return laminations[lamination]; }
  std::map<int, double> section_shares(double station) const override;

  /// What lies across the width at a node in a weak zone, in a solid there; null elsewhere.
  const std::vector<WeakPartOf<dim>> *weak_parts_at(int node) const;

  void let_crush(std::vector<std::optional<CrushingLaw>> by_lamination) override;
  void add_prestrain(const Eigen::VectorXd &q) override;
  void commit(const Eigen::VectorXd &q) override;
  double parted_length() const override;
  /// The state of a glue element's node in the committed history.
  CohesiveState glue_state(const GlueElement &element, int node) const;
  void assemble(const Eigen::VectorXd &q, const Eigen::VectorXd &last_step, Eigen::VectorXd &internal_force) override;
  Energy energy(const Eigen::VectorXd &q) const override;

  /// Green-Lagrange strain in grain axes at a cell's points of the 2^dim Gauss rule, local order as the nodes'. [1]
  std::vector<Strain> gauss_strains(const Cell &cell, const Eigen::VectorXd &u) const;
  /// How far the faces of a glue element stand apart at its nodes: opening (negative where they press), slip along, and in a
  /// solid slip across [m].
  Separations separations(const GlueElement &element, const Eigen::VectorXd &u) const;
  /// Resultant of the internal nodal forces [N] on one end face of a column, and their moment about the origin of the limb's
  /// frame [N m], both at the current positions: what the limb beyond that face exerts on the column. Both halves of a half-width
  /// solid count.
  struct EndForce
  {
    Eigen::Vector3d force = Eigen::Vector3d::Zero(), moment = Eigen::Vector3d::Zero();
  };
  /// The end forces of one column by lamination: at its root end and at its tip end. The glue's forces count with the lamination
  /// they act on, so that a sum over adjoining laminations is in equilibrium with whatever holds them together.
  struct ColumnEnds
  {
    std::vector<EndForce> root, tip;
  };
  /// By column, at displacement u [m], with the committed history.
  std::vector<ColumnEnds> column_end_forces(const Eigen::VectorXd &u) const;
  /// [Pa] in a wrap's thread there.
  double thread_stress(const Band &band, const Eigen::VectorXd &u) const;
  /// Of glue that can part: at the end of a step from the committed history.
  GlueTractions tractions(const GlueElement &element, const Eigen::VectorXd &u) const;

private:
  // One point of a quadrature rule.
  struct Point
  {
    Eigen::Matrix<double, dim, dim> axes;                  // columns: grain axes in the limb's frame
    Eigen::Matrix<double, n_nodes_per_cell, dim> gradient; // [1/m] of the shape functions along the grain axes
    double volume;                                         // [m3] width and quadrature weight included
    double station = 0., depth = 0., across = 0.;          // [m]; of a solid: z
    std::size_t first_part = 0, last_part = 0;             // what of `parts` lies there
    Strain prestrain = Strain::Zero();                     // of the cell's lamination
  };
  // What fills a share of the width at a point: the cell's lamination, and others where they are bent over a crown.
  struct Part
  {
    int lamination;
    double share;           // [1] of the width; those of a point sum to one
    double prestrain_along; // [1] along the grain, over that of the cell's lamination
    int weak = -1;          // index into weak_list of a strip in a weak zone
  };
  using CellValues = Eigen::Matrix<double, dim, n_nodes_per_cell>;
  using Gradient = Eigen::Matrix<double, dim, dim>; // column i: derivative of the displacement along grain axis i
  using Vector = Eigen::Matrix<double, dim, 1>;
  // Places or displacements of a glue element's nodes: belly nodes, then back nodes.
  using FaceValues = Eigen::Matrix<double, dim * 2 * n_nodes_per_face, 1>;

  const LimbMesh<dim> &limb_mesh;
  std::vector<Cell> cell_list;
  std::vector<GlueElement> glue_list;
  std::vector<Band> band_list;
  std::vector<Stiffness> laminations;            // in grain axes [Pa]
  int first_column = 0, last_column = 0;         // of this process: from the one to before the other
  std::vector<std::vector<Point>> points;        // by cell: the rule that is integrated with; none in other processes' cells
  std::vector<std::vector<Point>> sample_points; // by cell: the 2^dim rule for recovery
  std::vector<Part> parts;
  std::vector<WeakPartOf<dim>> weak_list;
  std::map<int, std::vector<WeakPartOf<dim>>> weak_nodes;
  std::vector<Material> woods; // by lamination, where there are weak zones
  std::vector<ReducedSpace::ElementMap> cell_maps, glue_maps, band_maps;
  std::vector<int> cell_blocks, glue_blocks, band_blocks;

  // Calls f(index of the part, part, its strain, CrushedStress) for every part at a point where the cell's strain is given; in a
  // weak zone both are in the part's own axes.
  template <class F>
  void for_each_part(const Point &point, const Strain &strain, F f) const;
  CrushedStress<n_strains> stress_at(const Point &point, const Strain &strain) const;
  void make_nodes_and_points();
  void make_weak_parts(const std::map<std::string, Material> &materials, PlaneState plane);
  void make_glue(const std::map<std::string, Material> &materials, const std::map<std::string, Adhesive> &adhesives);
  void make_bands();
  Eigen::Matrix<double, dim, 1> span(const Band &band, const Eigen::VectorXd &u) const;
  void assemble_band(std::size_t band, const Eigen::VectorXd &u, Eigen::VectorXd &force);
  void prestrain_glue(const Eigen::VectorXd &u);
  // Internal forces [N] of a cell's nodes; of a glue element's nodes, belly side, then back side.
  CellValues cell_force(std::size_t cell, const Eigen::VectorXd &u) const;
  FaceValues glue_force(const GlueElement &element, const Eigen::VectorXd &u) const;
  FaceValues glue_place(const GlueElement &element, const Eigen::VectorXd &u) const;
  std::vector<CohesiveState> glue_states(const Eigen::VectorXd &u) const;
  void add_glue_energy(const Eigen::VectorXd &u, Energy &energy) const;
  void make_supports(const Supports &supports);
  void share_columns();
  static CellValues cell_values(const Cell &cell, const Eigen::VectorXd &u);
  // In grain axes, prestrain included, from the gradient of the displacement along them.
  Strain strain(const Point &point, const Gradient &gradient) const;
  // before: where the limb is slowed from.
  void assemble_cell(std::size_t cell, const Eigen::VectorXd &u, const Eigen::VectorXd &du, const Eigen::VectorXd &before,
                     Eigen::VectorXd &force);
  void assemble_glue(std::size_t element, const Eigen::VectorXd &u, const Eigen::VectorXd &du, Eigen::VectorXd &force);
  void scatter(const ReducedSpace::ElementMap &map, int block, const Eigen::Ref<const Eigen::MatrixXd> &tangent,
               const Eigen::Ref<const Eigen::VectorXd> &force, Eigen::VectorXd &sum);
};
} // namespace limbwright
