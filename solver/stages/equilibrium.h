#pragma once

#include "solver/model/limb_model.h"
#include "solver/stages/linear_solver.h"

#include <atomic>
#include <functional>
#include <limits>
#include <optional>
#include <string>
#include <vector>

namespace limbwright
{
/// Unknowns: the displacements q of one or more solids, and a few scalars shared by them (string tension, ...).
struct State
{
  std::vector<Eigen::VectorXd> q; //!< by solid, remaining unknowns [m]
  Eigen::VectorXd scalars;        //!< units as the problem states

  State operator+(const State &other) const;
  State operator-(const State &other) const;
  State operator*(double factor) const;
};

/// What string and loads add to the solids' equations at a state:
///   residual_p(q, a) = internal force_p + forces of string and loads = 0,   constraint(q, a) = 0.
struct CoupledSystem
{
  std::vector<Eigen::VectorXd> residual;      //!< [N] by solid
  std::vector<SymmetricMatrix *> tangent;     //!< d residual_p / d q_p, by solid
  std::vector<Eigen::MatrixXd> columns;       //!< d residual_p / d a, n_free x n_scalars
  std::vector<Eigen::MatrixXd> rows;          //!< d constraint / d q_p, transposed: n_free x n_scalars
  Eigen::MatrixXd corner;                     //!< d constraint / d a
  Eigen::VectorXd constraint;                 //!< must vanish
  std::vector<Eigen::VectorXd> residual_rate; //!< d residual_p / d parameter
  Eigen::VectorXd constraint_rate;            //!< d constraint / d parameter
};

/// Adds string and loads at (state, parameter) to a system that holds the solids' part.
using Loads = std::function<void(const State &state, double parameter, CoupledSystem &system)>;

/// How far a state is from equilibrium.
struct Imbalance
{
  std::vector<Eigen::VectorXd> residual; //!< [N] by solid
  Eigen::VectorXd constraint;            //!< units as the problem states

  Imbalance operator-(const Imbalance &other) const;
};

struct NewtonSettings
{
  int max_iterations = 25;
  double tolerance = 1e-8;            //!< [1] residual over the force that acts
  double constraint_tolerance = 1e-9; //!< absolute, units as the problem states
  double step_tolerance = 1e-12;      //!< [m] or a displacement change below this everywhere (rounding level)
  bool mixed_point = true;
  double reuse_below = 0.; //!< [1] residual over the force that acts: below it steps are tried with the factorisation at hand, as
                           //!< long as each brings the residual down to a tenth
  double rounding_step = 5e-10; //!< [m] ... or, if not, until its displacement change is below this everywhere
};

/// Where fewer iterations or less accuracy than the settings' will do.
struct NewtonLimits
{
  int max_iterations = std::numeric_limits<int>::max();
  int max_contact_iterations = 0; //!< that do not count among these: whose correction is this small everywhere, as faces that
                                  //!< hardly press part or touch from one node to the next
  double contact_step = 1e-6;     //!< [m]
  double tolerance = 0.;          //!< [1] as the settings'; the greater one holds
  bool positive_definite = false; //!< end at the first tangent that is not
  bool mixed_point = true;        //!< else plain, whatever the settings say
  double greatest_growth =
      std::numeric_limits<double>::infinity(); //!< [1] end where the residual is this much over its first three
};

struct NewtonResult
{
  bool converged = false;
  int iterations = 0; //!< corrections of the state
  int factorisations = 0;
  bool positive_definite = true; //!< every tangent was
  bool stable = true;            //!< the last one was: no limb would leave this state by itself
  bool stopped = false;          //!< it ended since a stop was asked for
  std::string reason;            //!< why not, in plain words
  std::vector<double> residuals; //!< [N] norm at each iteration, the last one included
};

/// Why a stage ends that was asked to stop.
inline constexpr const char *stopped_reason = "it was interrupted";

/// Wall-clock seconds spent since construction.
struct SolveSeconds
{
  double assembly = 0., factorisation = 0., solution = 0.;
};

/// Newton's method for coupled solids. Every solid's tangent is factorised by itself; the scalars are solved by their Schur
/// complement.
class Equilibrium
{
public:
  Equilibrium(std::vector<LimbModel *> solids, NewtonSettings settings);

  /// Moves state to equilibrium at the parameter. came_from is the last equilibrium (a state of zeros at the start): the step
  /// from it to the given first guess counts as the first mixed-point step. On failure the state is left at its last iterate.
  [[nodiscard]] NewtonResult solve(State &state, const State &came_from, double parameter, const Loads &loads,
                                   const NewtonLimits &limits = {});

  /// From now on Newton's method ends when *flag becomes true, before its next assembly or factorisation; null: never.
  void stop_when(const std::atomic<bool> *flag) { stop = flag; }
  /// Whether a stop was asked for on any rank; called by all alike.
  bool stop_asked() const { return stop != nullptr && parts.front()->communicator().any(stop->load()); }

  /// d state / d parameter with the last factorised tangent, and loads at the state.
  State rate(const State &state, double parameter, const Loads &loads);
  /// In how many directions what is held by a string would leave the state by itself, to the last factorised tangent and loads at
  /// the state whose constraints are the derivatives of a potential, of which n_tensions are lengths that are kept and the rest,
  /// places that come to rest: the negative eigenvalues of the whole tangent beyond one for each length. -1 where the
  /// factorisation does not show it.
  int n_unstable(const State &state, double parameter, const Loads &loads, int n_tensions);

  /// At the solids' committed history.
  Imbalance imbalance(const State &state, double parameter, const Loads &loads);
  /// Factorises the plain tangent at a state and keeps it for response(). What is out of balance there; nothing when the tangent
  /// is singular.
  [[nodiscard]] std::optional<Imbalance> linearise(const State &state, double parameter, const Loads &loads);
  /// The system at that state.
  const CoupledSystem &linearisation() const { return linearised; }
  /// To first order, how the state moves when it is thrown out of balance: by the tangent linearise() kept.
  State response(const Imbalance &thrown) const;

  /// Forces and plain tangent at a state; nothing is factorised.
  CoupledSystem assembled(const State &state, double parameter, const Loads &loads);

  State zero(int n_scalars) const;
  const std::vector<LimbModel *> &solids() const { return parts; }
  const SolveSeconds &seconds() const { return spent; }

private:
  std::vector<LimbModel *> parts;
  std::vector<LinearSolver> solvers;
  NewtonSettings settings;
  const std::atomic<bool> *stop = nullptr;
  mutable SolveSeconds spent;
  CoupledSystem linearised;

  CoupledSystem empty_system(int n_scalars);
  // Solves the bordered system for right-hand sides (residual, constraint), with the solids factorised.
  State solve_bordered(const CoupledSystem &system, const std::vector<Eigen::VectorXd> &residual,
                       const Eigen::VectorXd &constraint) const;
};
} // namespace limbwright
