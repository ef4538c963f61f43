#pragma once

#include "materials/law/crushing.h"
#include "meshing/shape/limb_shape.h"
#include "solver/model/communicator.h"
#include "solver/model/history.h"
#include "solver/model/reduced_space.h"
#include "solver/model/symmetric_matrix.h"

#include <array>
#include <map>
#include <memory>
#include <optional>
#include <vector>

namespace limbwright
{
/// A limb as string, loads and Newton's method see it: nodes, unknowns, forces and tangent, whatever the dimension. LayeredSolid
/// is what stands behind it.
///
/// Vectors u: dimension() * node + component [m]. Vectors q: the unknowns left by the supports, u = P q.
class LimbModel
{
public:
  struct Node
  {
    std::array<double, 3> place; //!< [m] reference; z = 0 in the side view
    double station;              //!< [m]
    double depth;                //!< [m]
    int lamination;
    double across; //!< [1] share of half the width; 0 in the middle, and in the side view
    double fallen; //!< [m] of a solid: how much deeper than `depth` it lies, under a crown, in a rounded belly or at a split that
                   //!< slants
    double slanted = 0.; //!< [m] what of it is the split's: the wood there is that of another depth
  };

  /// Stored energy of laminations, glue and wraps, and what crushing has used up since the beginning [J].
  struct Energy
  {
    double laminations = 0., glue = 0., crushed = 0.;
    double wraps = 0.;   //!< what they were wound with included
    double parted = 0.;  //!< spent on the fracture of glue
    double delayed = 0.; //!< taken by growth of it that was delayed or overran, as sudden growth does
  };

  virtual ~LimbModel() = default;

  /// The processes that hold this limb together: each assembles its own stretch of columns, all have all nodes and unknowns, and
  /// every function here is called by all alike. The tangent is each one's own part; forces and energies are whole.
  const Communicator &communicator() const { return ranks; }

  virtual int dimension() const = 0; //!< 2: side view, 3: solid
  virtual const LimbShape &shape() const = 0;
  /// [m] stations of the mesh's columns, ascending.
  virtual const std::vector<double> &column_stations() const = 0;
  /// [m] the column station nearest to a station.
  double nearest_column(double station) const;
  const ReducedSpace &space() const { return *reduced; }
  const std::vector<Node> &nodes() const { return node_list; }

  /// The nodes of the cross-section at a column station, each with its share of the section's area (Simpson's rule through each
  /// element, times the width); the shares sum to one.
  virtual std::map<int, double> section_shares(double station) const = 0;

  /// Whether any lamination is prestrained.
  bool has_prestrain() const { return any_prestrain; }
  /// The share of the prestrain that is there, in all that follows: 1 unless told.
  void scale_prestrain(double share) { prestrain_share = share; }
  /// Adds the linear strain of a displacement to the prestrain, and its jumps to the glue's, as if the limb had come to its shape
  /// by this displacement from one where it was strained as told so far.
  virtual void add_prestrain(const Eigen::VectorXd &q) = 0;

  /// From now on laminations yield by these laws; those without one stay elastic.
  virtual void let_crush(std::vector<std::optional<CrushingLaw>> by_lamination) = 0;
  const std::optional<CrushingLaw> &crushing_law(int lamination) const { return crushing[lamination]; }
  const History &history() const { return past; }
  void set_history(History history) { past = std::move(history); }
  /// The state at q is an equilibrium that was reached: it becomes history.
  virtual void commit(const Eigen::VectorXd &q) = 0;

  /// Whether any glue of the limb can part.
  bool has_parting_glue() const { return any_parting; }
  /// Whether glue of the limb is open from the start.
  bool has_open_glue() const { return any_open; }
  /// Delay of the glue's growth in all that follows: relaxation of cohesive_step(), 1 for none.
  void delay_glue(double relaxation_share) { relaxation = relaxation_share; }
  /// In what assemble() builds from now on the laminations' deformation since the state q is slowed: beside its stress every
  /// point bears C : (E - its strain there)/time, time [1]; a Kelvin-Voigt solid in one implicit step.
  void slow_from(const Eigen::VectorXd &q, double time) { drag = {q, time}; }
  void slow_no_more() { drag.reset(); }
  /// Length of glue line that has let go in the committed history, patches that were open from the start not counted [m]. Of a
  /// solid: the area over the width there.
  virtual double parted_length() const = 0;

  /// Announces a dense block of the tangent on these remaining unknowns (for string and loads); before the first assembly.
  int announce_block(const std::vector<int> &masters) { return tangent_matrix.announce(masters); }

  /// Internal force [N] by remaining unknown at q, and the tangent. last_step is the change of q that led here: the geometric
  /// stiffness uses the stress at the linearised strain of that step (mixed-point Newton; Magisano, Leonetti and Garcea 2017,
  /// Int. J. Numer. Meth. Engng 109:1237), which is the plain Newton tangent where last_step is zero. The residual does not
  /// depend on it.
  virtual void assemble(const Eigen::VectorXd &q, const Eigen::VectorXd &last_step, Eigen::VectorXd &internal_force) = 0;
  SymmetricMatrix &tangent() { return tangent_matrix; }

  /// The share of the geometric stiffness, which the stresses make, in the tangent that assemble() builds: 1 unless told.
  void scale_geometric_stiffness(double share) { geometric_share = share; }
  /// Whether faces that have parted hold on to each other as they press, in what assemble() builds: no unless told. They slide.
  void hold_parted_faces(bool held) { faces_held = held; }

  virtual Energy energy(const Eigen::VectorXd &q) const = 0;

protected:
  explicit LimbModel(const Communicator &communicator) : ranks(communicator)
  {
    tangent_matrix.take_loads(communicator.rank() == 0);
  }

  Communicator ranks;
  std::vector<Node> node_list;
  std::unique_ptr<ReducedSpace> reduced;
  SymmetricMatrix tangent_matrix;
  std::vector<std::optional<CrushingLaw>> crushing; // by lamination
  History past;
  bool any_parting = false, any_open = false;
  double relaxation = 1.;
  struct Drag
  {
    Eigen::VectorXd from; // remaining unknowns
    double time;
  };
  std::optional<Drag> drag;
  bool any_prestrain = false;
  double prestrain_share = 1.;
  double geometric_share = 1.;
  bool faces_held = false;
};
} // namespace limbwright
