// From one equilibrium to another in steps that are cut where they fail.
#include "solver/stages/draw_path.h"
#include "solver/stages/growth.h"

#include <cmath>

namespace limbwright
{
BowPath::Outcome BowPath::march(State &state, double from, double to, int n_steps, const Loads &loads, const Rate &rate,
                                int &iterations, int &steps_cut, const Accept &accept, const Split &split, bool predict_first,
                                bool follow)
{
  const double whole = (to - from) / n_steps;
  double at = from, size = whole;
  bool predict = predict_first && bow_string.tension(state, 0) > 0.; // an unstrung limb has no tangent yet
  while (at != to)
  {
    if (equilibrium.stop_asked()) // all stop at one step
      return {false, stopped_reason};
    const double next = std::abs(to - at) < 1.01 * std::abs(size) ? to : at + size;
    State trial = predict ? state + rate(state, at) * (next - at) : state;
    // Glue that parts is followed where a few halvings of the step have not helped; a loose layer at once. Where their events
    // are closed in on, no earlier than that.
    GrowthSettings growth_settings;
    growth_settings.hold_first = true;
    if (!follow || (split ? std::abs(next - at) > event_step : !loose_layers() && std::abs(size) > 0.2 * std::abs(whole)))
      growth_settings.max_steps = 0;
    const std::vector<History> before = histories();
    const Growth growth = grow_to(equilibrium, trial, state, next, loads, growth_settings);
    iterations += growth.iterations;
    if ((growth.reached || growth.runaway) && split && split(at, state, next, trial, growth))
    {
      restore(before);
      size = (next - at) / 2.;
      predict = false; // the factorisation belongs to the state that was not taken
      continue;
    }
    if (growth.reached)
    {
      size = std::abs(2. * size) < std::abs(whole) ? 2. * size : whole;
      state = trial;
      at = next;
      predict = true;
      snaps = snaps || growth.snapped || growth.spent > 0.;
      if (growth.sudden && !growing)
        sudden_growth.push_back(at);
      growing = growth.sudden;
      accept(at, state, growth.iterations);
      continue;
    }
    if (growth.runaway)
    {
      sudden_growth.push_back(next);
      return {false, growth.reason};
    }
    if (growth.stopped)
      return {false, growth.reason};
    ++steps_cut;
    size /= 2.;
    // What gives way does so from near as from afar.
    const double least = std::abs(to - from) / (!follow || growth.gives_way ? 4. : 256.);
    if (std::abs(size) < least)
      return {false, growth.reason + (growth.gives_way && settings.wood_yields
                                          ? "; the worst places say how far its wood is crushed by then, and [solve] wood = "
                                            "\"elastic\" follows the layer alone"
                                          : "")};
    predict = false; // the failed attempt's factorisation is no tangent of the last good state
  }
  return {};
}
} // namespace limbwright
