#pragma once

#include "solver/model/section_functional.h"

#include <vector>

namespace limbwright
{
/// What holds a loose layer back while it snaps from one shape to another: a drag on the motion of an open patch's faces against
/// each other. In a unit of pseudo-time it holds, per area, as the layer does in bending to a wave between clamped ends, E_L
/// t^3/12 (2 pi/a)^4, t its thickness, a the patch's length. The limb itself is not held back: it follows the layer from one
/// equilibrium to the next.
class PatchDrag
{
public:
  /// Announces its blocks of the tangent, which lie within the glue's; before the solid's first assembly.
  explicit PatchDrag(LimbModel &solid);

  /// Whether the limb has no open patch.
  bool empty() const { return pairs.empty(); }
  /// Adds the force [N] against a motion [m], by remaining unknown, that takes a time [1], and its tangent.
  void add(const Eigen::VectorXd &motion, double time, Eigen::VectorXd &force, SymmetricMatrix &tangent) const;
  /// That force alone.
  Eigen::VectorXd force(const Eigen::VectorXd &motion, double time) const;

private:
  // Two nodes that face each other.
  struct Pair
  {
    LoadPoints apart;
    double stiffness; // [N/m]
  };
  std::vector<Pair> pairs;

  template <int dim>
  void collect(LimbModel &solid);
};
} // namespace limbwright
