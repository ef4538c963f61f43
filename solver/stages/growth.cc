#include "solver/stages/growth.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <string>

namespace limbwright
{
namespace
{
struct Taken
{
  double spent = 0., delayed = 0.;
};

double parted_length(const Equilibrium &equilibrium)
{
  double length = 0.;
  for (const LimbModel *solid : equilibrium.solids())
    length += solid->parted_length();
  return length;
}

Taken taken(const Equilibrium &equilibrium, const State &state)
{
  Taken sum;
  for (std::size_t p = 0; p < state.q.size(); ++p)
  {
    const auto energy = equilibrium.solids()[p]->energy(state.q[p]);
    sum.spent += energy.parted;
    sum.delayed += energy.delayed;
  }
  return sum;
}

void commit(const Equilibrium &equilibrium, const State &state)
{
  for (std::size_t p = 0; p < state.q.size(); ++p)
    equilibrium.solids()[p]->commit(state.q[p]);
}

void delay(const Equilibrium &equilibrium, double relaxation)
{
  for (LimbModel *solid : equilibrium.solids())
    solid->delay_glue(relaxation);
}
} // namespace

Growth grow_to(Equilibrium &equilibrium, State &state, const State &came_from, double parameter, const Loads &loads,
               const GrowthSettings &settings)
{
  Growth growth;
  bool parting = false, loose = false;
  std::vector<History> start;
  for (const LimbModel *solid : equilibrium.solids())
  {
    start.push_back(solid->history());
    parting = parting || solid->has_parting_glue();
    loose = loose || solid->has_open_glue();
  }
  const bool smooth = loose && !parting; // in pseudo-time; damage jumps
  // An implicit rule that steps too far is drawn to a state that a loose layer would leave by itself.
  NewtonLimits step_limits, attempt_limits;
  step_limits.max_iterations = settings.max_iterations;
  step_limits.tolerance = smooth ? settings.tolerance_on_the_way : 0.;
  step_limits.positive_definite = loose;
  if (parting || loose)
    attempt_limits.max_iterations = settings.max_iterations_without_delay;
  if (loose)
    attempt_limits.greatest_growth = settings.greatest_growth;
  const auto solve = [&](State &trial, const State &from, const NewtonLimits &limits)
  {
    NewtonResult result = equilibrium.solve(trial, from, parameter, loads, limits);
    growth.iterations += result.iterations;
    growth.stopped = growth.stopped || result.stopped;
    return result;
  };
  // A loose layer has states that it would leave by itself: they are no results.
  const auto attempt = [&](State &trial, const State &from)
  {
    const NewtonResult result = solve(trial, from, attempt_limits);
    growth.reason = result.converged ? "the equilibrium found is unstable" : result.reason;
    return result.converged && (!loose || result.stable);
  };
  // Where the limb comes to with the damage as it is.
  const auto hold = [&](State &guess)
  {
    State held = guess;
    delay(equilibrium, 0.);
    const NewtonResult result = solve(held, came_from, {settings.max_iterations});
    delay(equilibrium, 1.);
    if (result.converged)
      guess = held;
    return result.converged;
  };
  // From one state to the next in pseudo-time, which is committed; false, and nothing done, where that is too long a step.
  const auto step = [&](State &trial, const State &last, double time)
  {
    delay(equilibrium, time / (1. + time));
    for (std::size_t p = 0; loose && p < start.size(); ++p)
      equilibrium.solids()[p]->slow_from(last.q[p], time);
    const NewtonResult result = solve(trial, last, step_limits);
    if (result.converged)
      commit(equilibrium, trial);
    delay(equilibrium, 1.);
    for (LimbModel *solid : equilibrium.solids())
      solid->slow_no_more();
    return result.converged;
  };
  const auto restore = [&]
  {
    for (std::size_t p = 0; p < start.size(); ++p)
      equilibrium.solids()[p]->set_history(start[p]);
    state = came_from;
  };
  const auto out_of_balance = [&](const State &at)
  {
    double force = 0.; // [N]
    for (const Eigen::VectorXd &residual : equilibrium.imbalance(at, parameter, loads).residual)
      force = std::hypot(force, residual.norm());
    return force;
  };
  const double length_before = parting ? parted_length(equilibrium) : 0.;
  const Taken before = parting ? taken(equilibrium, came_from) : Taken{};

  const bool held = parting && settings.hold_first && hold(state);
  growth.reached = attempt(state, held ? State(state) : came_from);
  State last = came_from, advance = came_from * 0.; // advance: of the last step in pseudo-time
  const double least_pace = smooth ? settings.least_pace_slowed : settings.least_pace;
  double pace = settings.first_pace;
  int wait = 0;                                                // steps before the pace may grow again
  double unbalanced = std::numeric_limits<double>::infinity(); // [N] without the drag
  bool gathers_speed = false;
  int since_tried = 0; // steps since the law without drag was tried
  while (!growth.reached && !growth.stopped && (parting || loose) && growth.relaxations < settings.max_steps &&
         pace >= least_pace)
  {
    ++growth.relaxations;
    if (settings.watch)
      settings.watch(growth.relaxations);
    State trial = last + advance;
    if (!step(trial, last, pace))
    {
      pace *= 0.25;
      advance = advance * 0.25;
      wait = 3;
      continue;
    }
    if (smooth && growth.relaxations > 1)
      advance = trial - last;
    last = trial;
    if (parted_length(equilibrium) - length_before > settings.runaway_length)
    {
      growth.runaway = true;
      growth.reason = "a glue line lets go over more than " + std::to_string(std::lround(settings.runaway_length / 0.0254)) +
                      " in without more draw: the layer comes off";
      break;
    }
    // A loose layer comes to rest where most of what is out of balance goes in one step; glue that parts throws more out of it.
    bool resting = true;
    if (loose)
    {
      ++since_tried;
      const double left = out_of_balance(last);
      resting = left < 0.5 * unbalanced || pace > settings.ineffective_pace || (!smooth && since_tried >= settings.steps_between);
      gathers_speed = smooth && left > unbalanced;
      if (gathers_speed)
        wait = std::max(wait, 1);
      unbalanced = left;
    }
    if (resting && pace >= settings.settled_pace)
    {
      since_tried = 0;
      state = last;
      growth.reached = attempt(state, last);
      pace = loose ? 2. * pace : 1.;
    }
    else if (wait > 0)
      --wait;
    else
      pace *= 2.;
  }

  // Nothing snaps where faces hardly press, but they may part or touch from one node to the next.
  bool of_contact = false;
  if (!growth.reached && !growth.stopped && smooth && growth.relaxations > 0 && !gathers_speed)
  {
    restore();
    const std::string reason = growth.reason;
    attempt_limits.max_contact_iterations = settings.max_contact_iterations;
    growth.reached = of_contact = attempt(state, came_from);
    growth.reason = reason;
  }

  if (growth.reached)
  {
    commit(equilibrium, state);
    growth.reason.clear();
    growth.snapped = loose && growth.relaxations > 0 && !of_contact;
    if (!parting)
      return growth;
    const Taken after = taken(equilibrium, state);
    growth.spent = after.spent - before.spent;
    growth.delayed = after.delayed - before.delayed;
    growth.length = parted_length(equilibrium) - length_before;
    growth.sudden = growth.relaxations > 0 && growth.length > 0. && growth.delayed > settings.sudden_share * growth.spent;
    return growth;
  }
  growth.gives_way = gathers_speed && pace < least_pace && !growth.stopped;
  if (growth.stopped)
    growth.reason = stopped_reason;
  else if (growth.gives_way)
    growth.reason = "the limb folds at a loose layer";
  restore();
  return growth;
}
} // namespace limbwright
