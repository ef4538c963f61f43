#include "solver/stages/equilibrium.h"

#include <Eigen/Eigenvalues>
#include <Eigen/LU>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <limits>

namespace limbwright
{
namespace
{
// Adds the seconds until it goes out of scope.
class Stopwatch
{
public:
  explicit Stopwatch(double &total) : sum(total) {}
  ~Stopwatch() { sum += std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count(); }
  Stopwatch(const Stopwatch &) = delete;
  Stopwatch &operator=(const Stopwatch &) = delete;

private:
  double &sum;
  std::chrono::steady_clock::time_point start = std::chrono::steady_clock::now();
};
} // namespace

State State::operator+(const State &other) const
{
  State sum = *this;
  for (std::size_t p = 0; p < q.size(); ++p)
    sum.q[p] += other.q[p];
  sum.scalars += other.scalars;
  return sum;
}

State State::operator*(double factor) const
{
  State product = *this;
  for (auto &part : product.q)
    part *= factor;
  product.scalars *= factor;
  return product;
}

State State::operator-(const State &other) const
{
  return *this + other * -1.;
}

Imbalance Imbalance::operator-(const Imbalance &other) const
{
  Imbalance difference = *this;
  for (std::size_t p = 0; p < residual.size(); ++p)
    difference.residual[p] -= other.residual[p];
  difference.constraint -= other.constraint;
  return difference;
}

Equilibrium::Equilibrium(std::vector<LimbModel *> solids, NewtonSettings newton_settings)
    : parts(std::move(solids)), settings(newton_settings)
{
  for (const LimbModel *part : parts)
    solvers.emplace_back(part->communicator());
}

State Equilibrium::zero(int n_scalars) const
{
  State state;
  for (const auto *solid : parts)
    state.q.push_back(Eigen::VectorXd::Zero(solid->space().n_free()));
  state.scalars = Eigen::VectorXd::Zero(n_scalars);
  return state;
}

CoupledSystem Equilibrium::empty_system(int n_scalars)
{
  CoupledSystem system;
  for (auto *solid : parts)
  {
    const int n = solid->space().n_free();
    system.residual.push_back(Eigen::VectorXd::Zero(n));
    system.residual_rate.push_back(Eigen::VectorXd::Zero(n));
    system.tangent.push_back(&solid->tangent());
    system.columns.push_back(Eigen::MatrixXd::Zero(n, n_scalars));
    system.rows.push_back(Eigen::MatrixXd::Zero(n, n_scalars));
  }
  system.corner = Eigen::MatrixXd::Zero(n_scalars, n_scalars);
  system.constraint = Eigen::VectorXd::Zero(n_scalars);
  system.constraint_rate = Eigen::VectorXd::Zero(n_scalars);
  return system;
}

State Equilibrium::solve_bordered(const CoupledSystem &system, const std::vector<Eigen::VectorXd> &residual,
                                  const Eigen::VectorXd &constraint) const
{
  const Stopwatch watch(spent.solution);
  const int m = static_cast<int>(constraint.size());
  Eigen::MatrixXd schur = system.corner;
  Eigen::VectorXd rhs = -constraint;
  State step;
  std::vector<Eigen::MatrixXd> solved(parts.size());
  for (std::size_t p = 0; p < parts.size(); ++p)
  {
    Eigen::MatrixXd right(residual[p].size(), 1 + m);
    right << -residual[p], system.columns[p];
    solved[p] = solvers[p].solve(right);
    schur -= system.rows[p].transpose() * solved[p].rightCols(m);
    rhs -= system.rows[p].transpose() * solved[p].col(0);
  }
  step.scalars = m > 0 ? Eigen::VectorXd(schur.fullPivLu().solve(rhs)) : Eigen::VectorXd(0);
  for (std::size_t p = 0; p < parts.size(); ++p)
    step.q.push_back(solved[p].col(0) - solved[p].rightCols(m) * step.scalars);
  return step;
}

NewtonResult Equilibrium::solve(State &state, const State &came_from, double parameter, const Loads &loads,
                                const NewtonLimits &limits)
{
  const int at_most = std::min(limits.max_iterations, settings.max_iterations);
  const double tolerance = std::max(limits.tolerance, settings.tolerance);
  NewtonResult result;
  State step = state - came_from;
  bool reused = false;
  int of_contact = 0;
  double first = 0.; // [N] the greatest of the first three residuals
  const auto stopped = [&]
  {
    result.stopped = stop_asked();
    if (result.stopped)
      result.reason = stopped_reason;
    return result.stopped;
  };
  for (;; ++result.iterations)
  {
    if (stopped())
      return result;
    CoupledSystem system = empty_system(static_cast<int>(state.scalars.size()));
    double internal = 0., total = 0.;
    for (std::size_t p = 0; p < parts.size(); ++p)
    {
      const Eigen::VectorXd last =
          settings.mixed_point && limits.mixed_point ? step.q[p] : Eigen::VectorXd::Zero(step.q[p].size());
      const Stopwatch watch(spent.assembly);
      parts[p]->assemble(state.q[p], last, system.residual[p]);
      internal += system.residual[p].squaredNorm();
    }
    loads(state, parameter, system);
    for (const auto &residual : system.residual)
      total += residual.squaredNorm();
    const double norm = std::sqrt(total);
    result.residuals.push_back(norm);
    first = result.iterations < 3 ? std::max(first, norm) : first;
    if (!std::isfinite(norm) || norm > limits.greatest_growth * first)
    {
      result.reason = "the displacements grew without bound";
      return result;
    }
    double largest_step = result.iterations == 0 ? std::numeric_limits<double>::infinity() : 0.;
    for (const auto &q : step.q)
      largest_step = std::max(largest_step, q.size() > 0 ? q.cwiseAbs().maxCoeff() : 0.);
    const bool constraint_met =
        system.constraint.size() == 0 || system.constraint.cwiseAbs().maxCoeff() <= settings.constraint_tolerance;
    // The force that acts: at a free node the internal force balances string and loads, so it measures them once converged.
    if (constraint_met && (norm <= tolerance * std::sqrt(internal) || largest_step <= settings.step_tolerance))
    {
      result.converged = true;
      return result;
    }
    if (constraint_met && largest_step <= limits.contact_step && of_contact < limits.max_contact_iterations)
      ++of_contact;
    if (result.iterations - of_contact == at_most)
    {
      result.reason = "no equilibrium was found within " + std::to_string(at_most) + " iterations";
      return result;
    }
    // Near the solution the last tangent is as good as a new one, and costs nothing.
    const bool gains = !reused || norm <= 0.1 * result.residuals[result.residuals.size() - 2];
    // Where it no longer gains though its steps are this short, the residual is what rounding leaves of it.
    if (constraint_met && !gains && largest_step <= settings.rounding_step)
    {
      result.converged = true;
      return result;
    }
    reused = result.iterations > 0 && gains && norm <= settings.reuse_below * std::sqrt(internal);
    result.factorisations += reused ? 0 : 1;
    if (!reused && stopped())
      return result;
    if (!reused)
      result.stable = true;
    for (std::size_t p = 0; p < parts.size() && !reused; ++p)
    {
      const Stopwatch watch(spent.factorisation);
      if (!solvers[p].factorise(parts[p]->tangent()))
      {
        result.reason = "the limb's stiffness became singular";
        return result;
      }
      result.stable = result.stable && solvers[p].positive_definite();
    }
    result.positive_definite = result.positive_definite && result.stable;
    if (limits.positive_definite && !result.positive_definite)
    {
      result.reason = "the equilibrium found is unstable";
      return result;
    }
    step = solve_bordered(system, system.residual, system.constraint);
    state = state + step;
  }
}

CoupledSystem Equilibrium::assembled(const State &state, double parameter, const Loads &loads)
{
  CoupledSystem system = empty_system(static_cast<int>(state.scalars.size()));
  for (std::size_t p = 0; p < parts.size(); ++p)
    parts[p]->assemble(state.q[p], Eigen::VectorXd::Zero(state.q[p].size()), system.residual[p]);
  loads(state, parameter, system);
  return system;
}

Imbalance Equilibrium::imbalance(const State &state, double parameter, const Loads &loads)
{
  CoupledSystem system = assembled(state, parameter, loads);
  return {std::move(system.residual), std::move(system.constraint)};
}

std::optional<Imbalance> Equilibrium::linearise(const State &state, double parameter, const Loads &loads)
{
  linearised = assembled(state, parameter, loads);
  for (std::size_t p = 0; p < parts.size(); ++p)
    if (!solvers[p].factorise(parts[p]->tangent()))
      return std::nullopt;
  return Imbalance{linearised.residual, linearised.constraint};
}

State Equilibrium::response(const Imbalance &thrown) const
{
  return solve_bordered(linearised, thrown.residual, thrown.constraint);
}

int Equilibrium::n_unstable(const State &state, double parameter, const Loads &loads, int n_tensions)
{
  int count = -n_tensions;
  for (const LinearSolver &solver : solvers)
  {
    if (solver.n_negative() < 0)
      return -1;
    count += solver.n_negative();
  }
  CoupledSystem system = empty_system(static_cast<int>(state.scalars.size()));
  loads(state, parameter, system);
  // Rows may be scaled, which leaves the signs (inertia of a bordered matrix: Haynsworth 1968).
  Eigen::MatrixXd schur = system.corner;
  for (std::size_t p = 0; p < parts.size(); ++p)
    schur -= system.rows[p].transpose() * solvers[p].solve(system.columns[p]);
  return count + static_cast<int>((schur.eigenvalues().real().array() < 0.).count());
}

State Equilibrium::rate(const State &state, double parameter, const Loads &loads)
{
  CoupledSystem system = empty_system(static_cast<int>(state.scalars.size()));
  loads(state, parameter, system);
  return solve_bordered(system, system.residual_rate, system.constraint_rate);
}
} // namespace limbwright
