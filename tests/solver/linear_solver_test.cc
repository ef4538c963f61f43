#include "solver/stages/linear_solver.h"

#include <Eigen/Dense>
#include <catch2/catch.hpp>

#include <random>

using namespace limbwright;

TEST_CASE("A matrix with outer products outside its pattern is solved and its negative eigenvalues counted", "[quick]")
{
  // A chain of springs, one of them of negative stiffness or none, and two ties between links far apart.
  constexpr int n = 30;
  std::mt19937 random(7);
  std::uniform_real_distribution<double> uniform(-1., 1.);
  for (const double weak : {1., -0.9, -3.})
    for (const double tie : {0.5, 4., -0.02})
    {
      Eigen::MatrixXd dense = Eigen::MatrixXd::Zero(n, n);
      for (int i = 0; i < n; ++i)
      {
        const double stiffness = i == 12 ? weak : 1.;
        dense(i, i) += stiffness;
        if (i == 0)
          continue;
        dense(i - 1, i - 1) += stiffness;
        dense(i, i - 1) -= stiffness;
        dense(i - 1, i) -= stiffness;
      }
      const Eigen::SparseMatrix<double> lower = Eigen::MatrixXd(dense.triangularView<Eigen::Lower>()).sparseView();
      std::vector<OuterProduct> ties;
      for (const auto &[a, b] : {std::pair(3, 20), std::pair(8, 27)})
      {
        ties.push_back({{a, b}, Eigen::Vector2d(1., -1.), tie});
        Eigen::VectorXd whole = Eigen::VectorXd::Zero(n);
        whole[a] = 1.;
        whole[b] = -1.;
        dense += tie * whole * whole.transpose();
      }
      INFO("weak link " << weak << ", ties " << tie);
      LinearSolver solver;
      REQUIRE(solver.factorise(lower, {}, ties));
      const Eigen::MatrixXd right = Eigen::MatrixXd::NullaryExpr(n, 3, [&] { return uniform(random); });
      const Eigen::MatrixXd expected = dense.fullPivLu().solve(right);
      CHECK((solver.solve(right) - expected).norm() < 1e-9 * expected.norm());
      const Eigen::VectorXd eigenvalues = Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd>(dense).eigenvalues();
      CHECK(solver.n_negative() == (eigenvalues.array() < 0.).count());
      CHECK(solver.positive_definite() == (eigenvalues.minCoeff() > 0.));
      // Without ties again: nothing of them is left.
      REQUIRE(solver.factorise(lower));
      CHECK((lower.selfadjointView<Eigen::Lower>() * solver.solve(right) - right).norm() < 1e-9 * right.norm());
    }
}
