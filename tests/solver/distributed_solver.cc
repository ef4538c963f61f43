// Runs on one rank with the other quick tests, and on two and three by mpirun (tests/CMakeLists.txt).
#include "solver/stages/distributed_solver.h"
#include "solver/stages/linear_solver.h"

#include <Eigen/Dense>
#include <catch2/catch.hpp>

#include <random>

namespace limbwright
{
namespace
{
using Matrix = Eigen::SparseMatrix<double>;
using Entries = std::vector<Eigen::Triplet<double>>;

// Sums of random element matrices on overlapping stretches of unknowns, as along a limb.
struct Chain
{
  static constexpr int n_elements = 40, side = 12, overlap = 4, n = n_elements * (side - overlap) + overlap;
  std::vector<Eigen::MatrixXd> blocks;

  // shift: of the elements' eigenvalues.
  Chain(unsigned seed, double shift)
  {
    std::mt19937 random(seed);
    std::normal_distribution<double> normal;
    for (int e = 0; e < n_elements; ++e)
    {
      const Eigen::MatrixXd a = Eigen::MatrixXd::NullaryExpr(side, side, [&] { return normal(random); });
      blocks.push_back(a * a.transpose() + shift * Eigen::MatrixXd::Identity(side, side));
    }
  }
  // Of the elements that are this rank's.
  Matrix lower(int rank, int n_ranks) const
  {
    Entries entries;
    for (int e = n_elements * rank / n_ranks; e < n_elements * (rank + 1) / n_ranks; ++e)
      for (int i = 0; i < side; ++i)
        for (int j = 0; j <= i; ++j)
          entries.emplace_back(e * (side - overlap) + i, e * (side - overlap) + j, blocks[e](i, j));
    Matrix result(n, n);
    result.setFromTriplets(entries.begin(), entries.end());
    return result;
  }
  Eigen::MatrixXd dense() const { return Matrix(lower(0, 1).selfadjointView<Eigen::Lower>()); }
};

Eigen::MatrixXd right_hand_sides()
{
  return Eigen::MatrixXd::NullaryExpr(Chain::n, 3,
                                      [](Eigen::Index i, Eigen::Index j) { return std::sin(1. + i + 0.37 * i * j); });
}

// [1] the greatest difference over the greatest value. What differs between ranks is the order of sums: rounding.
double difference(const Eigen::MatrixXd &a, const Eigen::MatrixXd &b)
{
  return (a - b).cwiseAbs().maxCoeff() / b.cwiseAbs().maxCoeff();
}
constexpr double rounding = 1e-10;
} // namespace

TEST_CASE("Sums over the ranks", "[quick][ranks]")
{
  const Communicator world = Communicator::world();
  const double n = world.n_ranks();
  CHECK(world.sum(1. + world.rank()) == n * (n + 1.) / 2.);
  CHECK(world.any(world.rank() == world.n_ranks() - 1));
  CHECK_FALSE(world.any(false));
  Eigen::MatrixXd values = Eigen::MatrixXd::Constant(3, 2, world.rank() + 5.);
  world.share(values);
  CHECK(values == Eigen::MatrixXd::Constant(3, 2, 5.));
}

TEST_CASE("The parallel solver agrees with a dense factorisation, and keeps a pattern it has analysed", "[quick][ranks]")
{
  const Communicator world = Communicator::world();
  const Eigen::MatrixXd rhs = right_hand_sides();
  LinearSolver solver(world);
  for (const unsigned seed : {1u, 2u, 3u})
  {
    const Chain chain(seed, 1.);
    REQUIRE(solver.factorise(chain.lower(world.rank(), world.n_ranks())));
    CHECK(solver.positive_definite());
    CHECK(difference(solver.solve(rhs), chain.dense().llt().solve(rhs)) < rounding);
  }
}

TEST_CASE("The parallel solver tells beforehand what a factorisation takes", "[quick][ranks]")
{
  const Communicator world = Communicator::world();
  constexpr int n = 1000;
  Matrix own(n, n);
  if (world.rank() == 0)
    own = Matrix(Eigen::MatrixXd::Ones(n, n).sparseView()).triangularView<Eigen::Lower>();
  const auto memory = DistributedSolver(world).expected_memory(own);
  CHECK(memory.all_ranks >= n * (n + 1) / 2 * 8e-6); // no less than the factor itself
  CHECK(memory.all_ranks < n * n * 8e-6 * 10. * world.n_ranks());
  CHECK(memory.largest_rank > 0.);
  CHECK(memory.largest_rank <= memory.all_ranks);
}

TEST_CASE("The parallel solver tells indefinite matrices and solves them", "[quick][ranks]")
{
  const Communicator world = Communicator::world();
  const Eigen::MatrixXd rhs = right_hand_sides();
  DistributedSolver solver(world);
  for (const double shift : {1., -3., -12., 1.})
  {
    const Chain chain(7, shift);
    REQUIRE(solver.factorise(chain.lower(world.rank(), world.n_ranks())));
    const bool definite = Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd>(chain.dense()).eigenvalues().minCoeff() > 0.;
    CHECK(definite == (shift > 0.));
    CHECK(solver.positive_definite() == definite);
    CHECK(difference(solver.solve(rhs), chain.dense().partialPivLu().solve(rhs)) < rounding);
  }
}

TEST_CASE("The parallel solver searches for pivots where the diagonal is empty", "[quick][ranks]")
{
  const Communicator world = Communicator::world();
  // Pairs of unknowns that touch only each other across the diagonal.
  Entries entries;
  for (int i = world.rank(); i < Chain::n / 2; i += world.n_ranks())
    entries.emplace_back(2 * i + 1, 2 * i, 1. + i);
  for (int i = 0; i < Chain::n; ++i)
    entries.emplace_back(i, i, 0.);
  Matrix lower(Chain::n, Chain::n);
  lower.setFromTriplets(entries.begin(), entries.end());
  DistributedSolver solver(world);
  REQUIRE(solver.factorise(lower));
  CHECK_FALSE(solver.positive_definite());
  const Eigen::MatrixXd rhs = right_hand_sides(), solution = solver.solve(rhs);
  for (int i = 0; i < Chain::n / 2; ++i)
  {
    CHECK(difference(solution.row(2 * i), rhs.row(2 * i + 1) / (1. + i)) < rounding);
    CHECK(difference(solution.row(2 * i + 1), rhs.row(2 * i) / (1. + i)) < rounding);
  }
}

TEST_CASE("The parallel solver says when a matrix is singular", "[quick][ranks]")
{
  const Communicator world = Communicator::world();
  Chain chain(3, 1.);
  DistributedSolver solver(world);
  chain.blocks.back().bottomRows(1).setZero();
  chain.blocks.back().rightCols(1).setZero();
  CHECK_FALSE(solver.factorise(chain.lower(world.rank(), world.n_ranks())));
  CHECK_FALSE(solver.positive_definite());
  REQUIRE(solver.factorise(Chain(3, 1.).lower(world.rank(), world.n_ranks())));
  CHECK(solver.positive_definite());
}

TEST_CASE("The parallel solver takes a skew part that comes and goes", "[quick][ranks]")
{
  const Communicator world = Communicator::world();
  const Eigen::MatrixXd rhs = right_hand_sides();
  DistributedSolver solver(world);
  const Chain chain(5, 1.);
  const Matrix own = chain.lower(world.rank(), world.n_ranks());
  for (const int n_skew : {3, 0, 5})
  {
    Entries own_skew; // on the first rank alone
    Eigen::MatrixXd whole = chain.dense();
    for (int i = 0; i < n_skew; ++i)
    {
      whole(i + 1, i) += 2.;
      whole(i, i + 1) -= 2.;
      if (world.rank() == 0)
      {
        own_skew.emplace_back(i + 1, i, 2.);
        own_skew.emplace_back(i, i + 1, -2.);
      }
    }
    REQUIRE(solver.factorise(own, own_skew));
    CHECK(solver.positive_definite());
    CHECK(difference(solver.solve(rhs), whole.partialPivLu().solve(rhs)) < rounding);
  }
}
} // namespace limbwright
