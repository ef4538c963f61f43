#pragma once

#include "solver/model/communicator.h"
#include "solver/model/symmetric_matrix.h"

#include <Eigen/SparseCore>

#include <memory>
#include <vector>

namespace limbwright
{
/// Sparse direct solution with a symmetric matrix given by its lower triangle, many times with one pattern: L D L^T, and a
/// factorisation with pivots where an indefinite matrix leaves that without accuracy, or a skew part is added. A side view is
/// factorised as a chain (ChainFactor), what is wider by CHOLMOD; UMFPACK takes what neither does to sound_residual; outer
/// products by the formula of Sherman, Morrison and Woodbury. For solids, on one rank or several, DistributedSolver stands in for
/// both.
class LinearSolver
{
public:
  /// In this process.
  LinearSolver();
  /// On all ranks at once: each gives the sum over its own elements, and all call alike. Of Communicator::alone(): in this
  /// process.
  explicit LinearSolver(const Communicator &communicator);
  ~LinearSolver();
  LinearSolver(LinearSolver &&) noexcept;

  /// positions: of the unknowns, as ChainFactor's; those of the first call stay.
  /// Returns false when the matrix is singular to working precision or the memory does not suffice; on ranks the latter
  /// throws NotEnoughMemory.
  [[nodiscard]] bool factorise(const Eigen::SparseMatrix<double> &lower, const std::vector<Eigen::Triplet<double>> &skew = {},
                               const std::vector<OuterProduct> &products = {}, const Eigen::VectorXd &positions = {});
  [[nodiscard]] bool factorise(const SymmetricMatrix &matrix)
  {
    return factorise(matrix.lower(), matrix.skew(), matrix.outer_products(), matrix.positions());
  }
  /// With the last factorisation. rhs: n x m.
  Eigen::MatrixXd solve(const Eigen::MatrixXd &rhs) const;
  /// Whether the last matrix, its symmetric part, was positive definite.
  bool positive_definite() const { return n_negative() == 0; }
  /// How many eigenvalues of the last matrix, its symmetric part, are negative, by the signs of the factor's diagonal
  /// (Sylvester's law of inertia); -1 where the factorisation does not show it.
  int n_negative() const;

private:
  struct Implementation;
  std::unique_ptr<Implementation> implementation;
};
} // namespace limbwright
