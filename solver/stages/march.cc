// From one equilibrium to another in steps that are cut where they fail.
#include "solver/stages/draw_path.h"
#include "solver/stages/growth.h"

#include <algorithm>
#include <cmath>

namespace limbwright
{
BowPath::Outcome BowPath::march(State &state, double from, double to, int n_steps, const Loads &loads, const Rate &rate,
                                int &iterations, int &steps_cut, const Accept &accept, const Split &split, bool predict_first,
                                bool follow, const Check &check)
{
  const double whole = (to - from) / n_steps;
  double at = from, size = whole;
  bool predict = predict_first && bow_string.tension(state, 0) > 0.; // an unstrung limb has no tangent yet
  int failures = 0, searches = 0;                                    // failures since the last step that was taken
  bool searched = false;                                             // for a fold, since then
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
    growth_settings.watch = [&](int n)
    {
      constexpr int between_words = 10;
      if (!listener || n % between_words != 0)
        return;
      PathProgress now = latest;
      now.n_following = n;
      listener(now);
    };
    if (!follow || (split ? std::abs(next - at) > event_step : !loose_layers() && std::abs(size) > 0.2 * std::abs(whole)))
      growth_settings.max_steps = 0;
    const std::vector<History> before = histories();
    Growth growth = grow_to(equilibrium, trial, state, next, loads, growth_settings);
    iterations += growth.iterations;
    const std::string fault = growth.reached && check ? check(at, state, next, trial, !searched) : std::string();
    if ((growth.runaway || (growth.reached && fault.empty())) && split && split(at, state, next, trial, growth))
    {
      restore(before);
      size = (next - at) / 2.;
      predict = false; // the factorisation belongs to the state that was not taken
      continue;
    }
    if (growth.reached && fault.empty())
    {
      failures = 0;
      searched = false;
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
    if (!fault.empty())
    {
      restore(before);
      growth.reason = fault;
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
    // What does not come nearer in shorter steps may have come to its end.
    constexpr int failures_before_search = 3, most_searches = 4;
    ++failures;
    // Where a loose layer makes the limb collapse, shorter steps find no equilibrium either.
    const double least =
        !follow || growth.gives_way ? std::abs(to - from) / 4. : std::min(std::abs(to - from) / 256., event_step);
    if ((failures == failures_before_search || (fault.empty() && std::abs(size) < least)) && searches < most_searches && follow &&
        !way_matters())
    {
      ++searches;
      const double start = at;
      const State start_state = state;
      const std::vector<History> start_history = histories();
      constexpr double usual = 1. / 128., at_the_end = 1. / 4096.; // [1]
      const LimitPoint limit = seek_fold(state, at, size, to, loads, rate, std::abs(size) < least ? at_the_end : usual);
      searched = true;
      iterations += limit.iterations;
      predict = true;
      if (const std::string beyond = check && at != start ? check(start, start_state, at, state, false) : std::string();
          !beyond.empty())
      {
        growth.reason = beyond;
        state = start_state;
        at = start;
        restore(start_history);
        predict = false;
      }
      else
      {
        const bool farther = at != start;
        if (farther)
          accept(at, state, limit.iterations);
        if (limit.end == LimitPoint::End::turned)
          return {false, fold_words(state, limit.motion)};
        if (farther)
        {
          failures = 0;
          size = std::copysign(std::min(std::abs(2. * size), std::abs(whole)), whole);
          continue;
        }
      }
    }
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
