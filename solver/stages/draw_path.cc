#include "solver/stages/draw_path.h"

#include <algorithm>
#include <cmath>

namespace limbwright
{
namespace
{
NewtonSettings newton_settings(const SolveSettings &settings)
{
  NewtonSettings newton;
  newton.max_iterations = settings.max_iterations;
  newton.tolerance = settings.tolerance;
  return newton;
}

// Depth of the string below the back datum at the nock.
double nock_depth(const LimbShape &shape)
{
  const NockDescription &nock = shape.description().nock;
  const double back = shape.outer_back_depth(nock.station), belly = shape.outer_belly_depth(nock.station);
  return back + nock.depth_fraction * (belly - back);
}

struct StageOutcome
{
  bool reached = true;
  std::string reason;
};
} // namespace

BowPath::BowPath(const LimbMesh<2> &mesh, const BowDescription &description, const SolveSettings &solve_settings)
    : limb(mesh, description.materials, description.adhesives, solve_settings.plane,
           Supports::clamp(description.upper.root_station)),
      half_string(limb, 0, description.upper.nock.station, nock_depth(limb.shape()), description.string.stiffness),
      bow(description),
      settings(solve_settings),
      equilibrium({&limb}, newton_settings(solve_settings))
{}

DrawPoint BowPath::point(const State &state, const State &rate, double draw, double slack_length, const State &unstrung) const
{
  const auto g = half_string.geometry(state, draw), g0 = half_string.geometry(unstrung, draw);
  DrawPoint p;
  p.draw = draw;
  p.tension = half_string.tension(state);
  p.force = 2. * p.tension * g.direction.x();
  if (!rate.q.empty())
  {
    // F = 2 T e_x; the tip moves with the rate of the state and the nocking point along minus x.
    const Eigen::Vector2d run_rate = (half_string.geometry(state + rate * 1e-6, draw + 1e-6).tip -
                                      half_string.geometry(state - rate * 1e-6, draw - 1e-6).tip) /
                                         2e-6 +
                                     Eigen::Vector2d::UnitX();
    const Eigen::Vector2d e_rate = (run_rate - g.direction * g.direction.dot(run_rate)) / g.length;
    p.stiffness = 2. * (rate.scalars[0] * g.direction.x() + p.tension * e_rate.x());
  }
  p.tip_x = g.tip.x();
  p.tip_y = g.tip.y();
  // The tip's tangent stands square to the section's director.
  const auto angle = [](const Eigen::Vector2d &director) { return std::atan2(director.y(), -director.x()); };
  p.tip_angle = std::remainder(angle(g.director) - angle(g0.director), 2. * M_PI);
  const Eigen::Vector2d tangent = Eigen::Vector2d(g.director.y(), -g.director.x()).normalized();
  p.string_angle = std::acos(std::clamp(tangent.dot(g.direction), -1., 1.));
  const auto energy = limb.energy(state.q[0]);
  p.strain_energy = 2. * (energy.laminations + energy.glue + half_string.energy(slack_length, p.tension));
  return p;
}

DrawPath BowPath::run(const PathGuess &guess, const std::function<void(const PathProgress &)> &progress,
                      const std::atomic<bool> *stop)
{
  DrawPath path;
  const State unstrung = equilibrium.zero(1);
  path.steps.push_back({"unstrung", unstrung, {}, point(unstrung, {}, bow.brace_height, 0., unstrung), 0});

  // Takes state (at equilibrium for `from`) to the parameter `to` in n_steps or more; each solved step is told to `accept`.
  const auto march = [&](const std::string &stage, State &state, double from, double to, int n_steps, const Loads &loads,
                         bool guessed, int &iterations, const auto &accept) -> StageOutcome {
    double at = from, size = (to - from) / n_steps;
    int step = 0;
    bool first = state.scalars[0] == 0.; // no tangent yet to predict with
    while (std::abs(to - at) > 1e-12)
    {
      if (stop != nullptr && stop->load())
        return {false, "it was interrupted"};
      const double next = std::abs(to - at) < 1.01 * std::abs(size) ? to : at + size;
      State trial = guessed ? guess.drawn(next) : first ? state : state + equilibrium.rate(state, at, loads) * (next - at);
      const NewtonResult result = equilibrium.solve(trial, guessed ? trial : state, next, loads);
      iterations += result.iterations;
      if (result.converged)
      {
        state = trial;
        at = next;
        first = false;
        ++step;
        if (progress)
          progress({stage, step, n_steps, at, result.iterations});
        accept(at, state, result.iterations);
        continue;
      }
      ++path.steps_cut;
      size /= 2.;
      if (std::abs(size) < std::abs(to - from) / 256.)
        return {false, result.reason};
      // The failed attempt spoilt the factorisation that the predictor uses: restore it at the last good state.
      State again = state;
      const NewtonResult restored = equilibrium.solve(again, state, at, loads);
      iterations += restored.iterations;
      first = restored.iterations == 0;
      guessed = false;
    }
    return {};
  };

  State state = unstrung;
  double slack = 0.;
  const double start = half_string.geometry(unstrung, bow.brace_height).tip.x();
  const Loads bracing = half_string.bracing(bow.brace_height);
  StageOutcome outcome = march("stringing", state, start, -bow.brace_height, guess.drawn ? 1 : settings.brace_steps, bracing,
                               bool(guess.drawn), path.brace_iterations, [](double, const State &, int) {});
  if (outcome.reached && half_string.tension(state) <= 0.)
    outcome = {false, "the string is slack at this brace height: the limb's unstrung shape already reaches it"};
  if (!outcome.reached)
  {
    path.failed_stage = "stringing";
    path.reason = outcome.reason;
    return path;
  }
  slack = path.slack_length =
      half_string.slack_length(half_string.geometry(state, bow.brace_height).length, half_string.tension(state));
  const Loads drawing = half_string.drawing(slack);

  const auto accept = [&](double draw, const State &reached, int iterations) {
    PathStep step{draw == bow.brace_height ? "braced" : draw == bow.full_draw ? "full draw" : "drawing", reached,
                  equilibrium.rate(reached, draw, drawing), {}, iterations};
    step.point = point(reached, step.rate, draw, slack, unstrung);
    if (path.steps.size() > 1)
    {
      const DrawPoint &last = path.steps.back().point;
      const double h = draw - last.draw;
      step.point.work = last.work + h / 2. * (last.force + step.point.force) +
                        h * h / 12. * (last.stiffness - step.point.stiffness);
    }
    path.steps.push_back(step);
  };
  // The last factorisation belongs to stringing; the rate at brace uses the limb's part of it with the drawing constraint.
  accept(bow.brace_height, state, path.brace_iterations);
  outcome = march("drawing", state, bow.brace_height, bow.full_draw, settings.draw_steps, drawing, bool(guess.drawn),
                  path.draw_iterations, accept);
  path.complete = outcome.reached;
  if (!outcome.reached)
  {
    path.failed_stage = "drawing";
    path.reason = outcome.reason;
  }
  return path;
}

std::vector<DrawPoint> interpolate_draw_curve(const std::vector<PathStep> &steps, const std::vector<double> &draws)
{
  std::vector<const PathStep *> solved;
  for (const PathStep &step : steps)
    if (!step.rate.q.empty())
      solved.push_back(&step);
  std::vector<DrawPoint> curve;
  for (const double draw : draws)
  {
    if (solved.empty() || draw < solved.front()->point.draw - 1e-12 || draw > solved.back()->point.draw + 1e-12)
      continue;
    const auto after = std::find_if(solved.begin(), solved.end(), [&](const PathStep *s) { return s->point.draw >= draw - 1e-12; });
    const DrawPoint &b = (*after)->point;
    if (after == solved.begin() || std::abs(b.draw - draw) < 1e-12)
    {
      curve.push_back(b);
      continue;
    }
    const DrawPoint &a = (*(after - 1))->point;
    const double h = b.draw - a.draw, t = (draw - a.draw) / h;
    const double h00 = (1. + 2. * t) * (1. - t) * (1. - t), h10 = t * (1. - t) * (1. - t), h01 = t * t * (3. - 2. * t),
                 h11 = t * t * (t - 1.);
    DrawPoint p = b;
    p.draw = draw;
    p.force = h00 * a.force + h10 * h * a.stiffness + h01 * b.force + h11 * h * b.stiffness;
    p.stiffness = (6. * t * t - 6. * t) / h * (a.force - b.force) + (1. - 4. * t + 3. * t * t) * a.stiffness +
                  (3. * t * t - 2. * t) * b.stiffness;
    const auto linear = [&](double DrawPoint::*member) { return (1. - t) * a.*member + t * b.*member; };
    for (const auto member : {&DrawPoint::tension, &DrawPoint::string_angle, &DrawPoint::strain_energy, &DrawPoint::tip_x,
                              &DrawPoint::tip_y, &DrawPoint::tip_angle})
      p.*member = linear(member);
    const double g = draw - a.draw;
    p.work = a.work + g / 2. * (a.force + p.force) + g * g / 12. * (a.stiffness - p.stiffness);
    curve.push_back(p);
  }
  return curve;
}
} // namespace limbwright
