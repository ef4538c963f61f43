#include "solver/stages/linear_solver.h"

#include "solver/stages/distributed_solver.h"

#include <Eigen/CholmodSupport>
#include <Eigen/UmfPackSupport>

#include <optional>

namespace limbwright
{
namespace
{
using Matrix = Eigen::SparseMatrix<double>;

// CHOLMOD's factor laid open: the signs of D tell whether the matrix is positive definite (Sylvester's law of inertia).
struct Factorisation : Eigen::CholmodDecomposition<Matrix, Eigen::Lower>
{
  bool column_by_column() const { return m_cholmodFactor->is_super == 0 && m_cholmodFactor->is_ll == 0; }
  bool all_positive() const
  {
    const auto *start = static_cast<const int *>(m_cholmodFactor->p);
    const auto *entries = static_cast<const double *>(m_cholmodFactor->x);
    for (std::size_t j = 0; j < m_cholmodFactor->n; ++j)
      if (!(entries[start[j]] > 0.))
        return false;
    return true;
  }
};

// Without a search for pivots a factor of an indefinite matrix may be worthless: [1] residual over right-hand side allowed.
constexpr double sound_residual = 1e-6;
} // namespace

struct LinearSolver::Implementation
{
  std::optional<DistributedSolver> on_ranks; // in place of all that follows
  Factorisation symmetric;
  Eigen::UmfPackLU<Matrix> general;
  Matrix whole;                      // both triangles, for the general factorisation
  Eigen::Index general_entries = -1; // of the pattern that was analysed; none yet
  bool analysed = false;
  bool definite = false, use_general = false;

  bool sound(const Matrix &lower)
  {
    const Eigen::VectorXd ones = Eigen::VectorXd::Ones(lower.rows());
    const Eigen::VectorXd right = lower.selfadjointView<Eigen::Lower>() * ones;
    const Eigen::VectorXd residual = lower.selfadjointView<Eigen::Lower>() * symmetric.solve(right) - right;
    return residual.norm() <= sound_residual * right.norm(); // not met where anything is not finite
  }
};

LinearSolver::LinearSolver() : implementation(std::make_unique<Implementation>())
{
  cholmod_common &common = implementation->symmetric.cholmod();
  // A matrix that is not positive definite is an expected answer here, not a message.
  common.print = 0;
  // A side view's supernodes are some ten columns wide: column by column is then 2 to 4 times faster than dense blocks, up to
  // this ratio of operations to entries of the factor (measured; CHOLMOD's own switch is at 40). It is L D L^T then, which an
  // indefinite matrix has too.
  common.final_ll = 0;
  common.supernodal = CHOLMOD_AUTO;
  common.supernodal_switch = 300.;
}

LinearSolver::LinearSolver(const Communicator &communicator) : LinearSolver()
{
  if (communicator.starts_mpi())
    implementation->on_ranks.emplace(communicator);
}

LinearSolver::~LinearSolver() = default;
LinearSolver::LinearSolver(LinearSolver &&) noexcept = default;

bool LinearSolver::factorise(const Eigen::SparseMatrix<double> &lower, const std::vector<Eigen::Triplet<double>> &skew)
{
  auto &self = *implementation;
  if (self.on_ranks)
    return self.on_ranks->factorise(lower, skew);
  if (!self.analysed)
  {
    self.symmetric.analyzePattern(lower);
    self.analysed = true;
  }
  self.symmetric.factorize(lower);
  const bool done = self.symmetric.info() == Eigen::Success, by_columns = done && self.symmetric.column_by_column();
  self.definite = done && (!by_columns || self.symmetric.all_positive());
  self.use_general = !skew.empty() || (!self.definite && !(by_columns && self.sound(lower)));
  if (!self.use_general)
    return true;
  self.whole = lower.selfadjointView<Eigen::Lower>();
  if (!skew.empty())
  {
    Matrix part(lower.rows(), lower.cols());
    part.setFromTriplets(skew.begin(), skew.end());
    self.whole += part;
  }
  // The skew part lies within the pattern of the elements, so that the pattern stays what it was.
  if (self.whole.nonZeros() != self.general_entries)
  {
    self.general.analyzePattern(self.whole);
    self.general_entries = self.whole.nonZeros();
  }
  self.general.factorize(self.whole);
  return self.general.info() == Eigen::Success;
}

Eigen::MatrixXd LinearSolver::solve(const Eigen::MatrixXd &rhs) const
{
  if (implementation->on_ranks)
    return implementation->on_ranks->solve(rhs);
  if (implementation->use_general)
    return implementation->general.solve(rhs);
  return implementation->symmetric.solve(rhs);
}

bool LinearSolver::positive_definite() const
{
  return implementation->on_ranks ? implementation->on_ranks->positive_definite() : implementation->definite;
}
} // namespace limbwright
