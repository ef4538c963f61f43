#pragma once

#include "solver/model/communicator.h"

#include <Eigen/SparseCore>

#include <memory>
#include <stdexcept>
#include <vector>

namespace limbwright
{
/// The factors do not fit into the memory; the message says what they take.
struct NotEnoughMemory : std::runtime_error
{
  using std::runtime_error::runtime_error;
};

/// Sparse direct solution on several ranks at once (MUMPS). Each rank gives the lower triangle of its own elements' sum, all
/// unknowns' numbers alike; the matrix is the sum of these parts. One pattern is analysed once and factorised many times. Tried
/// are in turn: L D L^T without a search for pivots, with one where that is inaccurate, and L U where there is a skew part. Every
/// call is made by all ranks alike, and gives all the same answer.
class DistributedSolver
{
public:
  explicit DistributedSolver(const Communicator &communicator);
  ~DistributedSolver();
  DistributedSolver(DistributedSolver &&) noexcept;

  /// Returns false when the matrix is singular to working precision. Throws NotEnoughMemory.
  /// own_lower must live until the call ends; its pattern does not change from call to call.
  [[nodiscard]] bool factorise(const Eigen::SparseMatrix<double> &own_lower,
                               const std::vector<Eigen::Triplet<double>> &own_skew = {});
  /// With the last factorisation. rhs: n x m, the whole of it; that of the first rank counts.
  Eigen::MatrixXd solve(const Eigen::MatrixXd &rhs) const;
  /// How many eigenvalues of the last matrix are negative; with a skew part, of what it was without. -1 where the factorisation
  /// does not show it.
  int n_negative() const;
  bool positive_definite() const { return n_negative() == 0; }

  /// What a factorisation is expected to take, by the analysis of the pattern.
  struct Memory
  {
    double largest_rank = 0.; //!< [MB]
    double all_ranks = 0.;    //!< [MB]
  };
  /// Analyses the pattern, if that is not done yet.
  Memory expected_memory(const Eigen::SparseMatrix<double> &own_lower);

private:
  struct Implementation;
  std::unique_ptr<Implementation> implementation;
};
} // namespace limbwright
