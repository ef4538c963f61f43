// A bow put to the states that a simpler model of it, or a bow that is alike, has found.
#include "solver/stages/draw_path.h"
#include "solver/stages/growth.h"

#include <algorithm>

namespace limbwright
{
bool BowPath::way_matters() const
{
  const auto parts = [](const GlueLineDescription &line)
  {
    return line.cohesive || std::any_of(line.patches.begin(), line.patches.end(), [](const auto &patch) { return patch.open(); });
  };
  return std::any_of(limbs.begin(), limbs.end(),
                     [&](const auto &limb)
                     {
                       const auto &glue = limb->shape().description().glue;
                       return std::any_of(glue.begin(), glue.end(), parts);
                     });
}

bool BowPath::follow(const PathGuide &guide, DrawPath &path, State &state,
                     const std::function<void(const PathProgress &)> &progress, const std::function<void()> &keep)
{
  const State guided_brace = guide.carry_over(guide.path.steps[1].state);
  // Another bow may be drawn a little farther or less far: on along the guide's last step.
  const PathStep &last = guide.path.steps.back(), &before = guide.path.steps[guide.path.steps.size() - 2];
  const double farther = (bow.full_draw - last.point.draw) / (last.point.draw - before.point.draw);
  const State guided_draw = guide.carry_over(last.state + (last.state - before.state) * farther);
  bool stopped = false;
  const auto reach = [&](const State &guess, double parameter, const Loads &loads, int &iterations) -> std::optional<State>
  {
    // What is carried over bears stresses that are not in equilibrium, and by which a wide limb may seem to tip over sideways:
    // the first correction leaves them out of the tangent. They would also throw loose faces apart: until most of them is gone
    // such faces are held.
    const auto each = [&](const auto &tell)
    {
      for (const auto &limb : limbs)
        tell(*limb);
    };
    State trial = guess;
    each([](LimbModel &limb) { limb.hold_parted_faces(true); });
    each([](LimbModel &limb) { limb.scale_geometric_stiffness(0.); });
    iterations += equilibrium.solve(trial, guess, parameter, loads, {1}).iterations;
    each([](LimbModel &limb) { limb.scale_geometric_stiffness(1.); });
    if (loose_layers())
      iterations += equilibrium.solve(trial, trial, parameter, loads, {2}).iterations;
    each([](LimbModel &limb) { limb.hold_parted_faces(false); });
    const Growth growth = grow_to(equilibrium, trial, guess, parameter, loads);
    iterations += growth.iterations;
    stopped = growth.stopped;
    return growth.reached ? std::optional<State>(trial) : std::nullopt;
  };
  const auto tell = [&](const std::string &stage, double draw, int iterations)
  {
    if (progress)
      progress({stage, 1, 1, draw, iterations});
  };

  if (path.steps.size() < 2)
  {
    std::optional<State> braced = reach(guided_brace, 0., bow_string.bracing(bow.brace_height), path.brace_iterations);
    if (!braced || bow_string.tension(*braced, 0) <= 0.)
      return false;
    const double brace_draw = mark_nocking_point(*braced, bow.brace_height);
    path.slack_lengths = slack_lengths(*braced, brace_draw);
    if (!stands(*braced, brace_draw, path.slack_lengths, true))
    {
      restore(path.steps.back());
      return false;
    }
    path.slack_length = path.slack_lengths.front();
    path.steps.push_back(drawn_step("braced", *braced, brace_draw, path.slack_lengths, nullptr));
    path.steps.back().iterations = path.brace_iterations;
    tell("stringing", bow.brace_height, path.brace_iterations);
    keep();
  }

  // What brace has corrected of the guide's state is a good part of what full draw will.
  const std::vector<double> &slack = path.slack_lengths;
  const State &braced = path.steps.back().state;
  const std::optional<State> drawn =
      reach(guided_draw + (braced - guided_brace), bow.full_draw, bow_string.drawing(slack), path.draw_iterations);
  if (stopped)
  {
    state = path.steps.back().state; // braced, which is worth keeping
    return false;
  }
  if (!drawn || stretched(*drawn) || !stands(*drawn, bow.full_draw, slack, true))
  {
    path.steps.pop_back();
    restore(path.steps.back());
    state = path.steps.back().state;
    return false;
  }
  path.guided = true;
  state = *drawn;
  path.steps.push_back(drawn_step("full draw", state, bow.full_draw, slack, &path.steps.back()));
  path.steps.back().iterations = path.draw_iterations;
  // Two points make no curve to integrate; the hand's work is what the bow has taken up.
  DrawPoint &full = path.steps.back().point;
  const DrawPoint &at_brace = path.steps[path.steps.size() - 2].point;
  full.work = full.strain_energy + full.dissipated - at_brace.strain_energy - at_brace.dissipated;
  tell("drawing", bow.full_draw, path.draw_iterations);

  // What lies past full draw is the guide's, its rise corrected as the force is here.
  const double share = path.steps.back().point.force / guide.path.steps.back().point.force;
  for (DrawPoint point : guide.path.overdraw)
  {
    point.force *= share;
    path.overdraw.push_back(point);
  }

  // The unstrung state after the guide's cycles, and what they cost in proportion to the guide's.
  if (settings.cycles == 0 || guide.path.after.empty() || guide.path.after.back().stage != "unstrung again")
    return true;
  keep();
  const PathStep &let_down = guide.path.after.back();
  const double height = let_down.point.draw;
  const Loads no_string = bow_string.releasing(height, std::vector<double>(limbs.size(), 0.));
  const std::optional<State> unstrung_again = reach(guide.carry_over(let_down.state), 0., no_string, path.let_down_iterations);
  if (!unstrung_again)
  {
    restore(path.steps.back());
    return true;
  }
  path.after.push_back(unstrung_step("unstrung again", *unstrung_again, height));
  const double more_work = full.work / guide.path.steps.back().point.work;
  for (DrawCycle cycle : guide.path.cycles)
  {
    cycle.draw_weight *= share;
    cycle.brace_tension *= share;
    cycle.work *= more_work;
    cycle.returned *= more_work;
    path.cycles.push_back(cycle);
  }
  tell("unstringing", height, path.let_down_iterations);
  return true;
}
} // namespace limbwright
