// The way down: what comes back of a draw, and what the limbs keep.
#include "solver/stages/draw_path.h"

#include <algorithm>
#include <cmath>

namespace limbwright
{
BowPath::Outcome BowPath::brace_again(State &state, double slack_length, double &brace_height, int &iterations)
{
  int cut = 0;
  const auto slack_at = [&](double height, State &at) -> std::pair<double, Outcome>
  {
    const Loads bracing = bow_string.bracing(height);
    if (bow_string.two_limbs())
      at.scalars[2] = at.scalars[3] = 0.;
    const Outcome outcome = march(
        at, bow_string.bracing_start(at, height), 0., 1, bracing,
        [&](const State &here, double parameter) { return equilibrium.rate(here, parameter, bracing); }, iterations, cut,
        [](double, const State &, int) {}, {}, false);
    double slack = 0.;
    for (std::size_t k = 0; k < limbs.size(); ++k)
      slack += bow_string.slack_length(bow_string.path(at, height, k).length, bow_string.tension(at, k));
    return {slack - slack_length, outcome};
  };
  // The secant method on the height: the slack length that a height asks for falls smoothly as the height rises.
  constexpr double nudge = 0.5e-3, close_enough = 1e-7; // [m]
  double height = brace_height, before = brace_height + nudge;
  auto [last, outcome] = slack_at(before, state);
  for (int i = 0; outcome.reached && i < 12; ++i)
  {
    const auto [now, next_outcome] = slack_at(height, state);
    outcome = next_outcome;
    if (!outcome.reached || std::abs(now) < close_enough)
      break;
    const double step = -now * (height - before) / (now - last);
    before = height;
    last = now;
    height += std::clamp(step, -0.02, 0.02);
    if (i == 11)
      outcome = {false, "no brace height fits the string"};
  }
  brace_height = height;
  return outcome;
}

void BowPath::let_down(DrawPath &path, State state, const std::function<void(const PathProgress &)> &progress,
                       const std::function<void()> &keep)
{
  const PathStep &braced = path.steps[1], &drawn = path.steps.back();
  const Loads drawing = bow_string.drawing(path.slack_lengths);
  const Rate rate = [&](const State &at, double draw) { return drawing_rate(at, draw, path.slack_lengths); };
  double slack = 0.;
  for (const double half : path.slack_lengths)
    slack += half;
  int cut = 0, told = 0;
  const int n = settings.draw_steps, n_told = settings.cycles * (2 * n + 1) - n;
  const auto tell = [&](const std::string &stage, double draw, int iterations)
  {
    if (progress)
      progress({stage, ++told, std::max(told, n_told), draw, iterations});
    keep();
  };

  Outcome outcome;
  double brace_draw = braced.point.draw, brace_height = bow.brace_height;
  PathStep last = drawn;
  double work = drawn.point.work;
  for (int cycle = 1; cycle <= settings.cycles && outcome.reached; ++cycle)
  {
    const bool first = cycle == 1;
    DrawCycle told_cycle;
    told_cycle.draw_weight = last.point.force;
    told_cycle.work = work;
    for (const LimbModel *solid : equilibrium.solids())
      told_cycle.parted += solid->parted_length();
    const auto way_down = [&](double draw, const State &reached, int iterations)
    {
      last = drawn_step("letting down", reached, draw, path.slack_lengths, &last);
      last.iterations = iterations;
      if (first)
        path.after.push_back(last);
      tell("letting down", draw, iterations);
    };
    // The steps of the way up, but for the last: there the string is nearly straight, and is then braced.
    double from = bow.full_draw;
    for (int i = n - 1; i >= 0 && outcome.reached; --i)
    {
      const double to = i > 0 ? graded_draw(i, brace_draw) : brace_draw + 0.25 * (graded_draw(1, brace_draw) - brace_draw);
      outcome = march(state, from, to, 1, drawing, rate, path.let_down_iterations, cut, way_down, {}, false);
      from = to;
    }
    if (!outcome.reached)
      break;
    outcome = brace_again(state, slack, brace_height, path.let_down_iterations);
    if (!outcome.reached)
      break;
    told_cycle.brace_height = brace_height;
    told_cycle.brace_tension = bow_string.tension(state, 0);
    brace_draw = mark_nocking_point(state, brace_height);
    const PathStep down = drawn_step("let down", state, brace_draw, path.slack_lengths, &last);
    told_cycle.returned = work - down.point.work;
    path.cycles.push_back(told_cycle);
    last = down;
    tell("let down", brace_draw, 0);
    if (cycle == settings.cycles)
    {
      path.after.push_back(down);
      break;
    }
    last.point.work = 0.;
    from = brace_draw;
    for (int i = 1; i <= n && outcome.reached; ++i)
    {
      const double to = graded_draw(i, brace_draw);
      outcome = march(
          state, from, to, 1, drawing, rate, path.let_down_iterations, cut,
          [&](double draw, const State &reached, int iterations)
          {
            last = drawn_step("drawing", reached, draw, path.slack_lengths, &last);
            tell("drawing again", draw, iterations);
          },
          {}, i > 1);
      from = to;
    }
    work = last.point.work;
  }
  if (outcome.reached)
  {
    std::vector<double> tensions;
    for (std::size_t k = 0; k < limbs.size(); ++k)
      tensions.push_back(bow_string.tension(state, k));
    if (bow_string.two_limbs())
      state.scalars[2] = state.scalars[3] = 0.;
    const Loads releasing = bow_string.releasing(brace_height, tensions);
    outcome = march(
        state, 1., 0., settings.brace_steps, releasing,
        [&](const State &at, double parameter) { return equilibrium.rate(at, parameter, releasing); }, path.let_down_iterations,
        cut, [](double, const State &, int) {}, {}, false);
    if (outcome.reached)
    {
      path.after.push_back(unstrung_step("unstrung again", state, brace_height));
      tell("unstringing", brace_height, 0);
    }
  }
  if (!outcome.reached)
    path.after_failed = outcome.reason;
}
} // namespace limbwright
