// From unstrung to braced, and paths taken up again.
#include "solver/stages/draw_path.h"

#include <algorithm>

namespace limbwright
{
bool BowPath::fits(const DrawPath &begun)
{
  // How much a limb's memory holds once anything has happened to it.
  const std::vector<History> before = histories();
  for (std::size_t k = 0; k < limbs.size(); ++k)
    limbs[k]->commit(unstrung.q[k]);
  const std::vector<History> full = histories();
  restore(before);
  const auto fits_memory = [](const auto &list, const auto &whole) { return list.empty() || list.size() == whole.size(); };
  const auto state_fits = [&](const State &state, const std::vector<History> &history)
  {
    bool same = state.q.size() == limbs.size() && history.size() == limbs.size() && state.scalars.allFinite() &&
                state.scalars.size() == bow_string.n_scalars();
    for (std::size_t k = 0; same && k < limbs.size(); ++k)
      same = state.q[k].size() == limbs[k]->space().n_free() && state.q[k].allFinite() &&
             fits_memory(history[k].crushed, full[k].crushed) && fits_memory(history[k].glue, full[k].glue);
    return same;
  };
  bool same = !begun.steps.empty() && (begun.steps.size() == 1 || begun.slack_lengths.size() == limbs.size()) &&
              (!begun.stringing || state_fits(begun.stringing->state, begun.stringing->history));
  for (const PathStep &step : begun.steps)
    same = same && state_fits(step.state, step.history) &&
           (&step == &begun.steps.front() || (step.readings.size() == step.rates.size() && step.readings.allFinite() &&
                                              step.rates.allFinite() && step.readings.size() == read(step.state, 0.).size()));
  return same;
}

void BowPath::take_up(const DrawPath &begun, DrawPath &path)
{
  if (!fits(begun))
    throw CannotResume("the draw that was kept does not fit this bow's mesh: another version of this program wrote it, or it is "
                       "damaged. Draw without --resume");
  path = begun;
  path.complete = false;
  path.after.clear(); // a let-down begins anew
  path.cycles.clear();
  path.after_failed.clear();
  path.failed_stage.clear();
  path.reason.clear();
  sudden_growth = path.sudden_growth;
  snapped = path.snapped;
  restore(path.stringing ? path.stringing->history : path.steps.back().history);
}

BowPath::Outcome BowPath::brace(DrawPath &path, State &state, const std::function<void(const PathProgress &)> &progress,
                                const std::function<void()> &keep)
{
  const bool taken_up = path.stringing.has_value();
  const double start = taken_up ? path.stringing->parameter : bow_string.bracing_start(state, bow.brace_height);
  if (start <= 0.)
    return {false, "the unstrung tips are already at brace height or beyond: there is nothing to string"};
  const Loads bracing = bow_string.bracing(bow.brace_height);
  const std::size_t n_grown = sudden_growth.size();
  int step = 0;
  Outcome outcome = march(
      state, start, 0., settings.brace_steps, bracing,
      [&](const State &at, double parameter) { return equilibrium.rate(at, parameter, bracing); }, path.brace_iterations,
      path.steps_cut,
      [&](double parameter, const State &reached, int iterations)
      {
        if (progress)
          progress({"stringing", ++step, std::max(step, settings.brace_steps), bow.brace_height, iterations});
        if (parameter != 0.)
        {
          path.stringing = StringingStep{parameter, reached, histories()};
          keep();
        }
      },
      {}, !taken_up);
  if (sudden_growth.size() > n_grown) // told by draws, not by how far it was strung
  {
    sudden_growth.resize(n_grown);
    sudden_growth.push_back(bow.brace_height);
  }
  if (!outcome.reached)
    return outcome;
  if (bow_string.tension(state, 0) <= 0.)
    return {false, "the string would hang slack at this brace height"};
  path.stringing.reset();

  // Both halves keep their unstressed lengths.
  const double brace_draw = mark_nocking_point(state, bow.brace_height);
  path.slack_lengths = slack_lengths(state, brace_draw);
  path.slack_length = path.slack_lengths.front();
  path.steps.push_back(drawn_step("braced", state, brace_draw, path.slack_lengths, nullptr));
  path.steps.back().iterations = path.brace_iterations;
  keep();
  return outcome;
}
} // namespace limbwright
