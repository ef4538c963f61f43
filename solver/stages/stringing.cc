// From unstrung to braced, and paths taken up again.
#include "solver/stages/draw_path.h"

#include <algorithm>

namespace limbwright
{
void BowPath::take_up(const DrawPath &begun, DrawPath &path)
{
  path = begun;
  path.complete = false;
  path.failed_stage.clear();
  path.reason.clear();
  sudden_growth = path.sudden_growth;
  snapped = path.snapped;
  restore(path.stringing ? path.stringing->history : path.steps.back().history);
}

BowPath::Outcome BowPath::brace(DrawPath &path, State &state, const std::function<void(const PathProgress &)> &progress,
                                const std::atomic<bool> *stop, const std::function<void()> &keep)
{
  const bool taken_up = path.stringing.has_value();
  const double start = taken_up ? path.stringing->parameter : bow_string.bracing_start(state, bow.brace_height);
  if (start <= 0.)
    return {false, "the unstrung tips already lie at brace height or beyond: there is nothing to string"};
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
      {}, stop, !taken_up);
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
