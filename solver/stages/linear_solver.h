#pragma once

#include "solver/model/communicator.h"

#include <Eigen/SparseCore>

#include <memory>
#include <vector>

namespace limbwright
{
/// Sparse direct solution with a symmetric matrix given by its lower triangle, many times with one pattern: L D L^T (CHOLMOD),
/// and a general factorisation with pivots (UMFPACK) where an indefinite matrix leaves that without accuracy, or a skew part is
/// added. For solids, on one rank or several, DistributedSolver stands in for both.
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

  /// Returns false when the matrix is singular to working precision or the memory does not suffice; on ranks the latter
  /// throws NotEnoughMemory.
  [[nodiscard]] bool factorise(const Eigen::SparseMatrix<double> &lower, const std::vector<Eigen::Triplet<double>> &skew = {});
  /// With the last factorisation. rhs: n x m.
  Eigen::MatrixXd solve(const Eigen::MatrixXd &rhs) const;
  /// Whether the last matrix, its symmetric part, was positive definite.
  bool positive_definite() const;

private:
  struct Implementation;
  std::unique_ptr<Implementation> implementation;
};
} // namespace limbwright
