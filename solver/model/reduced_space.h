#pragma once

#include <Eigen/Core>

#include <utility>
#include <vector>

namespace dealii
{
template <typename number>
class AffineConstraints;
}

namespace limbwright
{
/// The displacements that remain when homogeneous linear supports have been eliminated: u = P q.
class ReducedSpace
{
public:
  /// What an element needs to move between its own unknowns and the remaining ones.
  struct ElementMap
  {
    std::vector<int> masters;  //!< remaining unknowns that the element touches
    Eigen::MatrixXd transform; //!< (element unknowns) x (masters); empty when it is the identity
  };

  /// constraints: closed and homogeneous.
  ReducedSpace(const dealii::AffineConstraints<double> &constraints, int n_dofs);

  int n_dofs() const { return static_cast<int>(free_of_dof.size()); }
  int n_free() const { return free_count; }

  Eigen::VectorXd expand(const Eigen::VectorXd &q) const;               //!< P q
  Eigen::VectorXd restrict_to_free(const Eigen::VectorXd &force) const; //!< P^T force
  Eigen::VectorXd sample(const Eigen::VectorXd &u) const; //!< q whose expansion agrees with u at the remaining unknowns
  ElementMap element(const std::vector<int> &dofs) const;

private:
  struct Line
  {
    int dof;
    std::vector<std::pair<int, double>> entries; // (dof, weight)
  };
  std::vector<int> free_of_dof; // -1 where eliminated
  std::vector<int> line_of_dof; // -1 where free
  std::vector<Line> lines;
  int free_count = 0;
};
} // namespace limbwright
