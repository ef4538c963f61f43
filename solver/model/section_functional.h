#pragma once

#include "solver/model/limb_model.h"

namespace limbwright
{
/// A vector that is linear in the displacement: value = reference + sum of weight * u(node).
struct SectionFunctional
{
  std::vector<int> nodes;
  std::vector<double> weights;
  Eigen::Vector3d reference; //!< in the unstrung shape; the third entry is zero in the side view
};

/// The material point of a cross-section at a depth [m] below the back datum, taken as a mean over the section's nodes whose
/// weights are linear in the depth and in z: exact for a section that moves rigidly, and a force on it enters as a linear
/// traction. across: [m] of the point from the middle plane; only of a solid of the whole width.
SectionFunctional section_point(const LimbModel &solid, double station, double depth, double across = 0.);

/// The section's director: change of place per depth, toward the belly [1]; its turn is the section's rotation.
SectionFunctional section_director(const LimbModel &solid, double station);

/// Functionals of one solid that string and loads act on, as values v of the remaining unknowns: v = reference + W q.
class LoadPoints
{
public:
  /// Announces its block of the tangent; before the solid's first assembly.
  LoadPoints(LimbModel &solid, const std::vector<SectionFunctional> &functionals);

  /// Three entries a functional; the third stays zero in the side view.
  Eigen::VectorXd values(const Eigen::VectorXd &q) const;
  /// W^T gradient, by remaining unknown, added to sum.
  void add_force(const Eigen::VectorXd &gradient, Eigen::Ref<Eigen::VectorXd> sum) const;
  /// W^T hessian W added to the tangent.
  void add_stiffness(const Eigen::MatrixXd &hessian, SymmetricMatrix &tangent) const;

private:
  std::vector<int> masters;
  Eigen::MatrixXd W;
  Eigen::VectorXd reference;
  int block;
};
} // namespace limbwright
