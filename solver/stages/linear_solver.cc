#include "solver/stages/linear_solver.h"

#include "solver/stages/chain_factor.h"
#include "solver/stages/distributed_solver.h"

#include <Eigen/CholmodSupport>
#include <Eigen/Eigenvalues>
#include <Eigen/LU>
#include <Eigen/UmfPackSupport>

#include <optional>

namespace limbwright
{
namespace
{
using Matrix = Eigen::SparseMatrix<double>;

// CHOLMOD's factor laid open: the signs of D are those of the eigenvalues.
struct Factorisation : Eigen::CholmodDecomposition<Matrix, Eigen::Lower>
{
  bool column_by_column() const { return m_cholmodFactor->is_super == 0 && m_cholmodFactor->is_ll == 0; }
  int n_negative() const
  {
    const auto *start = static_cast<const int *>(m_cholmodFactor->p);
    const auto *entries = static_cast<const double *>(m_cholmodFactor->x);
    int count = 0;
    for (std::size_t j = 0; j < m_cholmodFactor->n; ++j)
      count += entries[start[j]] > 0. ? 0 : 1;
    return count;
  }
};

// [1] ChainFactor::mean_front() up to which the chain is taken. A side view of 12 732 unknowns has 127, where it takes a fifth of
// CHOLMOD's time; one of 52 207, 391, where it takes less than half; a solid has more than a thousand.
constexpr double widest_chain = 500.;

// Without a search for pivots a factor of an indefinite matrix may be worthless: [1] residual over right-hand side allowed.
constexpr double sound_residual = 1e-6;
} // namespace

struct LinearSolver::Implementation
{
  std::optional<DistributedSolver> on_ranks; // in place of all that follows
  ChainFactor chain;
  bool along = false;      // whether the chain is used, in place of CHOLMOD
  Factorisation symmetric; // of what is no chain
  Eigen::UmfPackLU<Matrix> general;
  Matrix whole;                      // both triangles, for the general factorisation
  Eigen::Index general_entries = -1; // of the pattern that was analysed; none yet
  bool analysed = false;
  bool use_general = false;
  int n_negative = -1;
  // Outer products A C A^T: the rest's inverse times A, and C^-1 + A^T inverse A, factorised.
  std::vector<OuterProduct> products;
  Eigen::MatrixXd answers;
  Eigen::FullPivLU<Eigen::MatrixXd> capacitance;

  // Of the matrix without outer products.
  bool factorise(const Matrix &lower, const std::vector<Eigen::Triplet<double>> &skew, const Eigen::VectorXd &positions);
  Eigen::MatrixXd solve(const Eigen::MatrixXd &rhs) const;
  Eigen::MatrixXd of_products(const Eigen::MatrixXd &x) const // A^T x
  {
    Eigen::MatrixXd result(products.size(), x.cols());
    for (std::size_t i = 0; i < products.size(); ++i)
      for (Eigen::Index j = 0; j < x.cols(); ++j)
        result(static_cast<Eigen::Index>(i), j) = products[i].dot(x.col(j));
    return result;
  }

  // By a solution whose right-hand side is known; not met where anything is not finite.
  bool sound(const Matrix &lower, const std::vector<Eigen::Triplet<double>> &skew) const
  {
    const auto product = [&](const Eigen::VectorXd &x)
    {
      Eigen::VectorXd y = lower.selfadjointView<Eigen::Lower>() * x;
      for (const auto &entry : skew)
        y[entry.row()] += entry.value() * x[entry.col()];
      return y;
    };
    const Eigen::VectorXd right = product(Eigen::VectorXd::Ones(lower.rows())), residual = product(solve(right)) - right;
    return residual.norm() <= sound_residual * right.norm();
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

bool LinearSolver::Implementation::factorise(const Matrix &lower, const std::vector<Eigen::Triplet<double>> &skew,
                                             const Eigen::VectorXd &positions)
{
  if (on_ranks)
  {
    const bool done = on_ranks->factorise(lower, skew);
    n_negative = on_ranks->n_negative();
    return done;
  }
  use_general = false;
  if (!analysed)
  {
    chain.analyse(lower, positions);
    along = chain.mean_front() <= widest_chain;
    if (!along)
      symmetric.analyzePattern(lower);
    analysed = true;
  }
  bool counted = true;
  if (along)
  {
    chain.factorise(lower);
    n_negative = chain.n_negative();
  }
  else
  {
    symmetric.factorize(lower);
    const bool done = symmetric.info() == Eigen::Success;
    counted = done && symmetric.column_by_column();
    n_negative = !done ? -1 : counted ? symmetric.n_negative() : 0; // dense blocks make L L^T, of definite matrices alone
  }
  if (skew.empty() && (n_negative == 0 || (counted && sound(lower, skew))))
    return true;
  n_negative = skew.empty() ? -1 : n_negative;
  if (along && chain.factorise(lower, skew) && sound(lower, skew))
    return true;
  whole = lower.selfadjointView<Eigen::Lower>();
  if (!skew.empty())
  {
    Matrix part(lower.rows(), lower.cols());
    part.setFromTriplets(skew.begin(), skew.end());
    whole += part;
  }
  use_general = true;
  // The skew part lies within the pattern of the elements, so that the pattern stays what it was.
  if (whole.nonZeros() != general_entries)
  {
    general.analyzePattern(whole);
    general_entries = whole.nonZeros();
  }
  general.factorize(whole);
  return general.info() == Eigen::Success;
}

Eigen::MatrixXd LinearSolver::Implementation::solve(const Eigen::MatrixXd &rhs) const
{
  if (on_ranks)
    return on_ranks->solve(rhs);
  if (use_general)
    return general.solve(rhs);
  if (along)
    return chain.solve(rhs);
  return symmetric.solve(rhs);
}

bool LinearSolver::factorise(const Eigen::SparseMatrix<double> &lower, const std::vector<Eigen::Triplet<double>> &skew,
                             const std::vector<OuterProduct> &products, const Eigen::VectorXd &positions)
{
  auto &self = *implementation;
  self.products.clear();
  if (!self.factorise(lower, skew, positions))
    return false;
  if (products.empty())
    return true;
  const auto m = static_cast<Eigen::Index>(products.size());
  Eigen::MatrixXd right = Eigen::MatrixXd::Zero(lower.rows(), m), inner = Eigen::MatrixXd::Zero(m, m);
  int n_positive_factors = 0;
  for (Eigen::Index i = 0; i < m; ++i)
  {
    const OuterProduct &product = products[static_cast<std::size_t>(i)];
    for (std::size_t j = 0; j < product.unknowns.size(); ++j)
      right(product.unknowns[j], i) += product.values[static_cast<Eigen::Index>(j)];
    inner(i, i) = 1. / product.factor;
    n_positive_factors += product.factor > 0. ? 1 : 0;
  }
  self.answers = self.solve(right);
  self.products = products;
  inner += self.of_products(self.answers);
  self.capacitance.compute(inner);
  if (self.n_negative >= 0)
  {
    // The inertia of a bordered matrix counted both ways (Haynsworth 1968).
    const Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd> modes(inner, Eigen::EigenvaluesOnly);
    self.n_negative += static_cast<int>((modes.eigenvalues().array() > 0.).count()) - n_positive_factors;
  }
  return self.capacitance.isInvertible();
}

Eigen::MatrixXd LinearSolver::solve(const Eigen::MatrixXd &rhs) const
{
  const Eigen::MatrixXd plain = implementation->solve(rhs);
  if (implementation->products.empty())
    return plain;
  return plain - implementation->answers * implementation->capacitance.solve(implementation->of_products(plain));
}

int LinearSolver::n_negative() const
{
  return implementation->n_negative;
}
} // namespace limbwright
