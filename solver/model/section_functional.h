#pragma once

#include "solver/model/limb_model.h"

#include <map>
#include <utility>
#include <vector>

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
  /// Announces its blocks of the tangent; before the solid's first assembly. chain: functionals in an order in which neighbors
  /// may be tied often; ties of others cost a solution more each.
  LoadPoints(LimbModel &solid, const std::vector<SectionFunctional> &functionals, const std::vector<int> &chain = {});

  /// Three entries a functional; the third stays zero in the side view.
  Eigen::VectorXd values(const Eigen::VectorXd &q) const;
  /// W^T gradient, by remaining unknown, added to sum.
  void add_force(const Eigen::VectorXd &gradient, Eigen::Ref<Eigen::VectorXd> sum) const;
  /// W^T (gradient of one functional), added to sum.
  void add_force(int functional, const Eigen::Vector3d &gradient, Eigen::Ref<Eigen::VectorXd> sum) const;
  /// W^T hessian W of one functional added to the tangent.
  void add_stiffness(int functional, const Eigen::Matrix3d &hessian, SymmetricMatrix &tangent) const;
  /// The same of a potential that depends on the difference of two functionals.
  void add_tie(int one, int other, const Eigen::Matrix3d &hessian, SymmetricMatrix &tangent) const;

private:
  struct Point
  {
    std::vector<int> masters;
    Eigen::MatrixXd W; // 3 x masters
    int block;
  };
  struct Tie
  {
    std::vector<int> at_first, at_second; // where the points' masters stand in the block
    int size, block;
  };
  std::vector<Point> points;
  std::map<std::pair<int, int>, Tie> ties; // by functionals, the smaller number first
  Eigen::VectorXd reference;
};
} // namespace limbwright
