#include "solver/stages/chain_factor.h"
#include "solver/stages/front_kernels.h"

#include <Eigen/Dense>
#include <catch2/catch.hpp>

#include <random>
#include <vector>

using namespace limbwright;

namespace
{
std::vector<Registers> registers_here()
{
  std::vector<Registers> list;
  for (const Registers registers : {Registers::of_two, Registers::of_four, Registers::of_eight})
    if (registers <= widest_registers())
      list.push_back(registers);
  return list;
}

// A grid of n_columns x n_rows points, each joined to its neighbors, the diagonal ones too; its points in a random order. Two
// columns a few apart are tied, as those are that hold a string.
struct Grid
{
  Eigen::MatrixXd dense;
  Eigen::VectorXd positions;

  Grid(int n_columns, int n_rows, double shift, std::mt19937 &random)
      : dense(Eigen::MatrixXd::Zero(n_columns * n_rows, n_columns * n_rows)), positions(n_columns * n_rows)
  {
    std::vector<int> order(static_cast<std::size_t>(n_columns * n_rows));
    std::iota(order.begin(), order.end(), 0);
    std::shuffle(order.begin(), order.end(), random);
    std::uniform_real_distribution<double> stiffness(0.5, 2.);
    const auto at = [&](int column, int row) { return order[static_cast<std::size_t>(column * n_rows + row)]; };
    const auto join = [&](int i, int j)
    {
      const double k = stiffness(random);
      dense(i, i) += k;
      dense(j, j) += k;
      dense(i, j) -= k;
      dense(j, i) -= k;
    };
    for (int column = 0; column < n_columns; ++column)
      for (int row = 0; row < n_rows; ++row)
      {
        positions[at(column, row)] = 0.01 * column;
        dense(at(column, row), at(column, row)) += column == 0 ? 1. : -shift;
        if (row + 1 < n_rows)
          join(at(column, row), at(column, row + 1));
        for (int other = std::max(0, row - 1); column + 1 < n_columns && other <= std::min(n_rows - 1, row + 1); ++other)
          join(at(column, row), at(column + 1, other));
        join(at(n_columns / 2, row), at(std::min(n_columns - 1, n_columns / 2 + 4), row));
      }
  }
  Eigen::SparseMatrix<double> lower() const { return Eigen::MatrixXd(dense.triangularView<Eigen::Lower>()).sparseView(); }
};
} // namespace

TEST_CASE("Pivots of a dense front are eliminated with registers of any width", "[quick]")
{
  std::srand(5);
  for (const Registers registers : registers_here())
    for (const int n : {1, 2, 9, 17, 50, 121})
      for (const int p : {1, n / 2, n - 1, n})
      {
        if (p < 1)
          continue;
        const int rest = n - p;
        INFO(n << " unknowns, " << p << " pivots, registers of " << static_cast<int>(registers));
        Eigen::MatrixXd any = Eigen::MatrixXd::Random(n, n), definite = any * any.transpose();
        definite += Eigen::MatrixXd::Identity(n, n);
        definite(0, 0) -= 3. * definite(0, 0);
        const auto schur = [&](const Eigen::MatrixXd &a) -> Eigen::MatrixXd
        {
          return a.bottomRightCorner(rest, rest) -
                 a.bottomLeftCorner(rest, p) * a.topLeftCorner(p, p).fullPivLu().solve(a.topRightCorner(p, rest));
        };
        Eigen::MatrixXd front = Eigen::MatrixXd::Zero(front_stride(n), n);
        front.topRows(n) = definite.triangularView<Eigen::Lower>();
        Eigen::VectorXd d(p);
        eliminate_symmetric(front.data(), n, p, d.data(), registers);
        Eigen::MatrixXd l = front.topLeftCorner(p, p).triangularView<Eigen::UnitLower>();
        CHECK((l * d.asDiagonal() * l.transpose() - definite.topLeftCorner(p, p)).norm() <= 1e-11 * definite.norm());
        const Eigen::MatrixXd left = (front.block(p, p, rest, rest) - schur(definite)).triangularView<Eigen::Lower>();
        CHECK(left.norm() <= 1e-9 * definite.norm());

        any += 0.5 * Eigen::MatrixXd::Identity(n, n);
        front.setZero();
        front.topRows(n) = any;
        std::vector<int> row_of(static_cast<std::size_t>(p));
        REQUIRE(eliminate_general(front.data(), n, p, row_of.data(), registers));
        l = front.topLeftCorner(p, p).triangularView<Eigen::UnitLower>();
        const Eigen::MatrixXd u = front.topLeftCorner(p, p).triangularView<Eigen::Upper>();
        Eigen::MatrixXd rows = any.topLeftCorner(p, p);
        for (int i = 0; i < p; ++i)
          rows.row(i).swap(rows.row(row_of[static_cast<std::size_t>(i)]));
        CHECK((l * u - rows).norm() <= 1e-11 * any.norm());
        CHECK((front.block(p, p, rest, rest) - schur(any)).norm() <= 1e-7 * schur(any).norm());
        // Nothing beyond the front's rows.
        CHECK(front.bottomRows(front.rows() - n).isZero(0.));
      }
}

TEST_CASE("A chain is factorised, with and without positions, a skew part, or negative eigenvalues", "[quick]")
{
  std::mt19937 random(11);
  std::uniform_real_distribution<double> uniform(-1., 1.);
  for (const double shift : {0., 0.37})
    for (const bool placed : {true, false})
    {
      const Grid grid(23, 7, shift, random);
      const Eigen::SparseMatrix<double> lower = grid.lower();
      const Eigen::Index n = lower.rows();
      const Eigen::VectorXd eigenvalues = Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd>(grid.dense).eigenvalues();
      INFO("shift " << shift << (placed ? ", placed" : ", by levels"));
      REQUIRE((shift == 0.) == (eigenvalues.minCoeff() > 0.));
      const Eigen::MatrixXd right = Eigen::MatrixXd::NullaryExpr(n, 3, [&] { return uniform(random); });
      ChainFactor chain;
      chain.analyse(lower, placed ? grid.positions : Eigen::VectorXd());
      if (placed)
        CHECK(chain.mean_front() < 40.); // of 161 unknowns
      chain.factorise(lower);
      CHECK((grid.dense * chain.solve(right) - right).norm() < 1e-10 * right.norm());
      CHECK(chain.n_negative() == (eigenvalues.array() < 0.).count());

      Eigen::MatrixXd whole = grid.dense;
      std::vector<Eigen::Triplet<double>> skew;
      for (int j = 0; j < lower.outerSize(); j += 3)
        for (Eigen::SparseMatrix<double>::InnerIterator entry(lower, j); entry; ++entry)
          if (entry.row() != j)
            for (const double part : {0.3, -0.8})
            {
              skew.emplace_back(entry.row(), j, part);
              skew.emplace_back(j, entry.row(), -part);
              whole(entry.row(), j) += part;
              whole(j, entry.row()) -= part;
            }
      REQUIRE(chain.factorise(lower, skew));
      CHECK((whole * chain.solve(right) - right).norm() < 1e-10 * right.norm());
      // The plain matrix again: nothing of the skew part is left.
      chain.factorise(lower);
      CHECK((grid.dense * chain.solve(right) - right).norm() < 1e-10 * right.norm());
    }
}

TEST_CASE("Unconnected chains are factorised, and a singular one is refused", "[quick]")
{
  Eigen::MatrixXd dense = Eigen::MatrixXd::Zero(6, 6);
  dense.topLeftCorner(2, 2) << 2., -1., -1., 2.;
  dense.bottomRightCorner(3, 3) << 1., -1., 0., -1., 3., -1., 0., -1., 1.;
  dense(2, 2) = 4.;
  const Eigen::SparseMatrix<double> lower = Eigen::MatrixXd(dense.triangularView<Eigen::Lower>()).sparseView();
  ChainFactor chain;
  chain.analyse(lower);
  chain.factorise(lower);
  const Eigen::VectorXd right = Eigen::VectorXd::LinSpaced(6, 1., 6.);
  CHECK((dense * chain.solve(right) - right).norm() < 1e-12 * right.norm());

  Eigen::SparseMatrix<double> singular = lower;
  singular.coeffRef(2, 2) = 0.;
  CHECK_FALSE(chain.factorise(singular, {}));
}
