#include "solver/stages/linear_solver.h"

#include <Eigen/CholmodSupport>
#include <Eigen/UmfPackSupport>

namespace limbwright
{
struct LinearSolver::Implementation
{
  using Matrix = Eigen::SparseMatrix<double>;
  Eigen::CholmodDecomposition<Matrix, Eigen::Lower> cholesky;
  Eigen::UmfPackLU<Matrix> general;
  Matrix whole; // both triangles, for the general factorisation
  bool analysed = false;
  bool definite = false;
};

LinearSolver::LinearSolver() : implementation(std::make_unique<Implementation>())
{
  cholmod_common &common = implementation->cholesky.cholmod();
  // A matrix that is not positive definite is an expected answer here, not a message.
  common.print = 0;
  common.final_ll = 1; // L L^T: fails where the matrix is not positive definite, as L D L^T would not
  // A side view's supernodes are some ten columns wide: column by column is then 2 to 4 times faster than dense blocks, up to
  // this ratio of operations to entries of the factor (measured; CHOLMOD's own switch is at 40).
  common.supernodal = CHOLMOD_AUTO;
  common.supernodal_switch = 300.;
}

LinearSolver::~LinearSolver() = default;
LinearSolver::LinearSolver(LinearSolver &&) noexcept = default;

bool LinearSolver::factorise(const Eigen::SparseMatrix<double> &lower)
{
  auto &self = *implementation;
  if (!self.analysed)
  {
    self.cholesky.analyzePattern(lower);
    self.analysed = true;
  }
  self.cholesky.factorize(lower);
  self.definite = self.cholesky.info() == Eigen::Success;
  if (self.definite)
    return true;
  self.whole = lower.selfadjointView<Eigen::Lower>();
  self.general.compute(self.whole);
  return self.general.info() == Eigen::Success;
}

Eigen::MatrixXd LinearSolver::solve(const Eigen::MatrixXd &rhs) const
{
  if (implementation->definite)
    return implementation->cholesky.solve(rhs);
  return implementation->general.solve(rhs);
}

bool LinearSolver::positive_definite() const
{
  return implementation->definite;
}
} // namespace limbwright
