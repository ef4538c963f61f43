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
  bool parting = false, dragged = false;
  std::vector<History> start;
  std::vector<Eigen::VectorXd> drag;
  for (const LimbModel *solid : equilibrium.solids())
  {
    start.push_back(solid->history());
    parting = parting || solid->has_parting_glue();
    drag.push_back(solid->drag());
    dragged = dragged || drag.back().size() > 0;
    if (settings.patch_drags != nullptr)
      drag.back().resize(0);
  }
  // A loose layer has states that it would leave by itself: they are no results.
  const auto attempt = [&](State &trial, const State &from)
  {
    const NewtonResult result = parting ? equilibrium.solve(trial, from, parameter, loads, settings.max_iterations_without_delay)
                                        : equilibrium.solve(trial, from, parameter, loads);
    growth.iterations += result.iterations;
    growth.reason = result.reason;
    return result.converged && (!dragged || result.stable);
  };
  // Where the limb comes to with the damage as it is.
  const auto hold = [&](State &guess)
  {
    State held = guess;
    delay(equilibrium, 0.);
    const NewtonResult result = equilibrium.solve(held, came_from, parameter, loads, settings.max_iterations);
    delay(equilibrium, 1.);
    growth.iterations += result.iterations;
    if (result.converged)
      guess = held;
    return result.converged;
  };
  const double length_before = parting ? parted_length(equilibrium) : 0.;
  const Taken before = parting ? taken(equilibrium, came_from) : Taken{};

  const bool held = parting && settings.hold_first && hold(state);
  growth.reached = attempt(state, held ? State(state) : came_from);
  State last = came_from;
  double pace = settings.first_pace;
  int wait = 0;                                              // steps before the pace may grow again
  double tried_at = std::numeric_limits<double>::infinity(); // [N] out of balance where the state without drag was last tried
  int since_tried = 0;                                       // steps
  while (!growth.reached && parting && growth.relaxations < settings.max_steps && pace >= settings.least_pace)
  {
    ++growth.relaxations;
    delay(equilibrium, pace / (1. + pace));
    State trial = last;
    const NewtonResult result = equilibrium.solve(
        trial, last, parameter,
        [&](const State &at, double where, CoupledSystem &system)
        {
          loads(at, where, system);
          for (std::size_t p = 0; p < drag.size(); ++p)
            if (drag[p].size() > 0)
            {
              system.residual[p] += drag[p].cwiseProduct(at.q[p] - last.q[p]) / pace;
              system.tangent[p]->add_diagonal(drag[p] / pace);
            }
            else if (settings.patch_drags != nullptr)
              (*settings.patch_drags)[p].add(at.q[p] - last.q[p], pace, system.residual[p], *system.tangent[p]);
        },
        settings.max_iterations);
    growth.iterations += result.iterations;
    // Too long a step of the implicit rule would be drawn to such a state instead of leaving it.
    const bool stepped = result.converged && (!dragged || result.positive_definite);
    double dragging = 0.; // [N] what the drag holds, and would be out of balance without it
    if (stepped)
    {
      commit(equilibrium, trial);
      for (std::size_t p = 0; p < drag.size(); ++p)
        if (drag[p].size() > 0 || settings.patch_drags != nullptr)
        {
          const Eigen::VectorXd moved = trial.q[p] - last.q[p], force = drag[p].size() > 0
                                                                            ? Eigen::VectorXd(drag[p].cwiseProduct(moved) / pace)
                                                                            : (*settings.patch_drags)[p].force(moved, pace);
          growth.snapped += force.dot(moved);
          dragging = std::hypot(dragging, force.norm());
        }
    }
    delay(equilibrium, 1.);
    if (!stepped)
    {
      pace *= 0.25;
      wait = 3;
      continue;
    }
    last = trial;
    if (parted_length(equilibrium) - length_before > settings.runaway_length)
    {
      growth.runaway = true;
      growth.reason = "a glue line lets go by itself over more than " +
                      std::to_string(std::lround(settings.runaway_length / 0.0254)) +
                      " in and does not stop: the layer comes off";
      break;
    }
    // A trial without the drag that fails takes as long as five steps with it: the next waits until much less is out of balance,
    // or as many steps were taken.
    ++since_tried;
    if (pace >= settings.settled_pace && (!dragged || dragging < 0.1 * tried_at || since_tried >= 5))
    {
      tried_at = dragging;
      since_tried = 0;
      state = last;
      growth.reached = attempt(state, last);
      pace = dragged ? 2. * pace : 1.;
    }
    else if (wait > 0)
      --wait;
    else
      pace *= 2.;
  }

  if (growth.reached)
  {
    commit(equilibrium, state);
    growth.reason.clear();
    if (!parting)
      return growth;
    const Taken after = taken(equilibrium, state);
    growth.spent = after.spent - before.spent;
    growth.delayed = after.delayed - before.delayed;
    growth.length = parted_length(equilibrium) - length_before;
    growth.sudden = growth.relaxations > 0 && growth.length > 0. && growth.delayed > settings.sudden_share * growth.spent;
    return growth;
  }
  for (std::size_t p = 0; p < start.size(); ++p)
    equilibrium.solids()[p]->set_history(start[p]);
  state = came_from;
  return growth;
}
} // namespace limbwright
