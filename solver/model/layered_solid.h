#pragma once

#include "materials/law/crushing.h"
#include "materials/material.h"
#include "meshing/shape/limb_shape.h"
#include "solver/model/history.h"
#include "solver/model/reduced_space.h"
#include "solver/model/supports.h"
#include "solver/model/symmetric_matrix.h"
#include "solver/model/weak_parts.h"

#include <map>
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace limbwright
{
template <int dim>
class LimbMesh;

/// A limb as a mechanical system: quadratic Lagrange elements, one block per lamination, bridged by interface elements at the
/// glue lines. Total Lagrangian; every lamination is a St. Venant-Kirchhoff solid, orthotropic in grain axes that are fixed in
/// the unstrung shape: S = C E, energy per reference volume E : C : E / 2 (Bonet and Wood 2008, sec. 6.4; Holzapfel 2000,
/// sec. 6.5). The side view is weighted with the local width. Wood may yield in compression along the grain
/// (materials/law/crushing.h): assemble() and energy() start from the committed history, which only commit() moves on.
///
/// Prestrain: a lamination that would shrink, or was bent when it was glued, is strained in the unstrung shape already. Every
/// strain and stress here is counted from where the material itself is at rest: E = strain of the displacement + prestrain.
///
/// Vectors u: dim * node + component [m]. Vectors q: the unknowns left by the supports, u = P q.
template <int dim>
class LayeredSolid
{
public:
  static constexpr int n_nodes_per_cell = dim == 2 ? 9 : 27;
  static constexpr int n_strains = dim * (dim + 1) / 2; //!< 2-D order: L, N (through the thickness), LN engineering shear

  struct Node
  {
    std::array<double, dim> place; //!< [m] reference
    double station;                //!< [m]
    double depth;                  //!< [m]
    int lamination;
  };

  struct Cell
  {
    int lamination, column, row;
    std::array<int, n_nodes_per_cell> nodes; //!< local node (i, j) = i + 3 j: i from belly to back, j from root to tip
  };

  /// One glue line over one column: its three belly-side and three back-side nodes from root to tip.
  struct GlueElement
  {
    int line;
    int column;
    std::array<int, 3> belly_nodes, back_nodes;
    std::array<double, 3> thickness;                        //!< [m]
    std::array<double, 3> normal_stiffness;                 //!< [Pa/m]
    std::array<double, 3> shear_stiffness;                  //!< [Pa/m]
    std::array<double, 3> weight;                           //!< [m2] reference area that each node stands for, width included
    std::array<double, 3> reference_normal, reference_slip; //!< [m]
    bool can_part = false;                                  //!< it softens and parts as `bond` says; else it is elastic
    bool open = false;                                      //!< it never held: the faces only press on each other
    CohesiveBond bond;                                      //!< of a node through bond_at()

    CohesiveBond bond_at(int node) const
    {
      CohesiveBond here = bond;
      here.normal_stiffness = normal_stiffness[node];
      here.shear_stiffness = shear_stiffness[node];
      return here;
    }
  };

  struct GlueTraction
  {
    double peel;  //!< [Pa] positive opening, per reference area
    double shear; //!< [Pa] positive when the back side moves toward the tip
  };

  LayeredSolid(const LimbMesh<dim> &mesh, const std::map<std::string, Material> &materials,
               const std::map<std::string, Adhesive> &adhesives, PlaneState plane, const Supports &supports);

  const LimbShape &shape() const;
  /// [m] stations of the mesh's columns, ascending.
  const std::vector<double> &column_stations() const;
  /// [m] the column station nearest to a station.
  double nearest_column(double station) const;
  const LimbMesh<dim> &mesh() const { return limb_mesh; }
  const ReducedSpace &space() const { return *reduced; }
  const std::vector<Node> &nodes() const { return node_list; }
  const std::vector<Cell> &cells() const { return cell_list; }
  const std::vector<GlueElement> &glue() const { return glue_list; }
  const Eigen::Matrix<double, n_strains, n_strains> &stiffness(int lamination) const { return laminations[lamination]; }

  /// What lies across the width at a node in a weak zone; null elsewhere.
  const std::vector<WeakPart> *weak_parts_at(int node) const;

  /// The nodes of the cross-section at a column station, each with its share of the section's area (Simpson's rule through each
  /// element, times the width); the shares sum to one.
  std::map<int, double> section_shares(double station) const;

  /// Whether any lamination is prestrained.
  bool has_prestrain() const { return any_prestrain; }
  /// The share of the prestrain that is there, in all that follows: 1 unless told.
  void scale_prestrain(double share) { prestrain_share = share; }
  /// Adds the linear strain of a displacement to the prestrain, and its jumps to the glue's, as if the limb had come to its shape
  /// by this displacement from one where it was strained as told so far.
  void add_prestrain(const Eigen::VectorXd &q);

  /// From now on laminations yield by these laws; those without one stay elastic.
  void let_crush(std::vector<std::optional<CrushingLaw>> by_lamination);
  const std::optional<CrushingLaw> &crushing_law(int lamination) const { return crushing[lamination]; }
  const History &history() const { return past; }
  void set_history(History history) { past = std::move(history); }
  /// The state at q is an equilibrium that was reached: it becomes history.
  void commit(const Eigen::VectorXd &q);

  /// Whether any glue of the limb is open or can part.
  bool has_parting_glue() const { return any_parting; }
  /// Delay of the glue's growth in all that follows: relaxation of cohesive_step(), 1 for none.
  void delay_glue(double relaxation_share) { relaxation = relaxation_share; }
  /// What holds a loose layer back while it snaps from one shape to another, by remaining unknown [N/m]: volume times the
  /// stiffness, per volume, of the layer over an open patch in bending to a wave between clamped ends, E_L t^2/12 (2 pi/a)^4; the
  /// stiffest of them. Empty without open patches.
  Eigen::VectorXd drag() const;
  /// Length of glue line that has let go in the committed history, patches that were open from the start not counted [m].
  double parted_length() const;
  /// The state of a glue element's node in the committed history.
  CohesiveState glue_state(const GlueElement &element, int node) const;

  /// Announces a dense block of the tangent on these remaining unknowns (for string and loads); before the first assembly.
  int announce_block(const std::vector<int> &masters) { return tangent_matrix.announce(masters); }

  /// Internal force [N] by remaining unknown at q, and the tangent. last_step is the change of q that led here: the geometric
  /// stiffness uses the stress at the linearised strain of that step (mixed-point Newton; Magisano, Leonetti and Garcea 2017,
  /// Int. J. Numer. Meth. Engng 109:1237), which is the plain Newton tangent where last_step is zero. The residual does not
  /// depend on it.
  void assemble(const Eigen::VectorXd &q, const Eigen::VectorXd &last_step, Eigen::VectorXd &internal_force);
  SymmetricMatrix &tangent() { return tangent_matrix; }

  /// Stored energy of laminations and of glue, and what crushing has used up since the beginning [J].
  struct Energy
  {
    double laminations = 0., glue = 0., crushed = 0.;
    double parted = 0.;  //!< spent on the fracture of glue
    double delayed = 0.; //!< taken by growth of it that was delayed or overran, as sudden growth does
  };
  Energy energy(const Eigen::VectorXd &q) const;

  /// Green-Lagrange strain in grain axes at a cell's points of the 2^dim Gauss rule, local order as the nodes'. [1]
  std::vector<Eigen::Matrix<double, n_strains, 1>> gauss_strains(const Cell &cell, const Eigen::VectorXd &u) const;
  /// How far the faces of a glue element stand apart at its nodes: opening (negative where they press) and slip [m].
  std::array<Eigen::Vector2d, 3> separations(const GlueElement &element, const Eigen::VectorXd &u) const;
  /// Of glue that can part: at the end of a step from the committed history.
  std::array<GlueTraction, 3> tractions(const GlueElement &element, const Eigen::VectorXd &u) const;

private:
  // One point of a quadrature rule.
  struct Point
  {
    Eigen::Matrix<double, dim, dim> axes;                  // columns: grain axes in the limb's frame
    Eigen::Matrix<double, n_nodes_per_cell, dim> gradient; // [1/m] of the shape functions along the grain axes
    double volume;                                         // [m3] width and quadrature weight included
    double station = 0., depth = 0.;                       // [m]
    std::size_t first_part = 0, last_part = 0;             // what of `parts` lies there
    Eigen::Matrix<double, n_strains, 1> prestrain = Eigen::Matrix<double, n_strains, 1>::Zero(); // of the cell's lamination
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
  using Strain = Eigen::Matrix<double, n_strains, 1>;

  const LimbMesh<dim> &limb_mesh;
  std::vector<Node> node_list;
  std::vector<Cell> cell_list;
  std::vector<GlueElement> glue_list;
  std::vector<Eigen::Matrix<double, n_strains, n_strains>> laminations; // stiffness in grain axes [Pa]
  std::vector<std::vector<Point>> points;                               // by cell: the rule that is integrated with
  std::vector<std::vector<Point>> sample_points;                        // by cell: the 2^dim rule for recovery
  std::vector<Part> parts;
  std::vector<WeakPart> weak_list;
  std::map<int, std::vector<WeakPart>> weak_nodes;
  std::unique_ptr<ReducedSpace> reduced;
  std::vector<ReducedSpace::ElementMap> cell_maps, glue_maps;
  std::vector<int> cell_blocks, glue_blocks;
  SymmetricMatrix tangent_matrix;
  std::vector<std::optional<CrushingLaw>> crushing; // by lamination
  std::vector<Material> woods;                      // by lamination, where there are weak zones
  History past;
  bool any_parting = false;
  double relaxation = 1.;
  bool any_prestrain = false;
  double prestrain_share = 1.;

  // Calls f(index of the part, part, its strain, CrushedStress) for every part at a point where the cell's strain is given; in a
  // weak zone both are in the part's own axes.
  template <class F>
  void for_each_part(const Point &point, const Strain &strain, F f) const;
  CrushedStress stress_at(const Point &point, const Strain &strain) const;
  void make_nodes_and_points();
  void make_weak_parts(const std::map<std::string, Material> &materials, PlaneState plane);
  void make_glue(const std::map<std::string, Material> &materials, const std::map<std::string, Adhesive> &adhesives);
  void prestrain_glue(const Eigen::VectorXd &u);
  Eigen::Matrix<double, 12, 1> glue_place(const GlueElement &element, const Eigen::VectorXd &u) const;
  std::array<CohesiveResponse, 3> glue_response(const GlueElement &element, const Eigen::VectorXd &u) const;
  std::vector<CohesiveState> glue_states(const Eigen::VectorXd &u) const;
  void add_glue_energy(const Eigen::VectorXd &u, Energy &energy) const;
  void make_supports(const Supports &supports);
  static CellValues cell_values(const Cell &cell, const Eigen::VectorXd &u);
  // In grain axes, prestrain included, from the gradient of the displacement along them.
  Strain strain(const Point &point, const Gradient &gradient) const;
  void assemble_cell(std::size_t cell, const Eigen::VectorXd &u, const Eigen::VectorXd &du, Eigen::VectorXd &force);
  void assemble_glue(std::size_t element, const Eigen::VectorXd &u, const Eigen::VectorXd &du, Eigen::VectorXd &force);
  void scatter(const ReducedSpace::ElementMap &map, int block, const Eigen::MatrixXd &tangent, const Eigen::VectorXd &force,
               Eigen::VectorXd &sum);
};
} // namespace limbwright
