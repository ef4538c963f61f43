#include "solver/stages/growth.h"

#include <algorithm>

namespace limbwright
{
namespace
{
struct Taken
{
  double spent = 0., delayed = 0.;
};

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
  for (LayeredSolid<2> *solid : equilibrium.solids())
    solid->delay_glue(relaxation);
}
} // namespace

Growth grow_to(Equilibrium &equilibrium, State &state, const State &came_from, double parameter, const Loads &loads,
               const GrowthSettings &settings)
{
  Growth growth;
  const auto attempt = [&](State &trial, const State &from)
  {
    const NewtonResult result = equilibrium.solve(trial, from, parameter, loads);
    growth.iterations += result.iterations;
    growth.reason = result.reason;
    return result.converged;
  };

  std::vector<History> start;
  bool parting = false;
  for (const LayeredSolid<2> *solid : equilibrium.solids())
  {
    start.push_back(solid->history());
    parting = parting || solid->has_parting_glue();
  }
  const Taken before = parting ? taken(equilibrium, came_from) : Taken{};

  growth.reached = attempt(state, came_from);
  State last = came_from;
  double pace = settings.first_pace;
  int wait = 0; // steps before the pace may grow again
  while (!growth.reached && parting && growth.relaxations < settings.max_steps && pace >= settings.least_pace)
  {
    ++growth.relaxations;
    delay(equilibrium, pace / (1. + pace));
    State trial = last;
    const bool stepped = attempt(trial, last);
    if (stepped)
      commit(equilibrium, trial);
    delay(equilibrium, 1.);
    if (!stepped)
    {
      pace *= 0.25;
      wait = 3;
      continue;
    }
    last = trial;
    if (pace >= settings.settled_pace)
    {
      state = last;
      growth.reached = attempt(state, last);
      pace = 1.;
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
    growth.sudden = growth.relaxations > 0 && growth.delayed > settings.sudden_share * growth.spent;
    return growth;
  }
  for (std::size_t p = 0; p < start.size(); ++p)
    equilibrium.solids()[p]->set_history(start[p]);
  state = came_from;
  return growth;
}
} // namespace limbwright
