#include "solver/stages/draw_path.h"

#include <algorithm>
#include <cmath>
#include <tuple>

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
double nock_depth(const LimbShape &shape, double station)
{
  const double back = shape.outer_back_depth(station), belly = shape.outer_belly_depth(station);
  return back + shape.description().nock.depth_fraction * (belly - back);
}

// The tip's tangent stands square to the section's director (which points to the belly): its lean toward the target.
double tip_lean(const Eigen::Vector2d &director) { return std::atan2(director.y(), -director.x()); }
} // namespace

BowPath::BowPath(const LimbMesh<2> &mesh, const BowDescription &description, const SolveSettings &solve_settings)
    : limb(mesh, description.materials, description.adhesives, solve_settings.plane,
           Supports::clamp(description.upper.root_station)),
      half_string(limb, 0, limb.nearest_column(description.upper.nock.station),
                  nock_depth(limb.shape(), limb.nearest_column(description.upper.nock.station)), description.string.stiffness),
      bow(description),
      settings(solve_settings),
      equilibrium({&limb}, newton_settings(solve_settings))
{}

BowPath::Outcome BowPath::march(State &state, double from, double to, int n_steps, const Loads &loads, int &iterations,
                                int &steps_cut, const Accept &accept, const std::atomic<bool> *stop)
{
  double at = from, size = (to - from) / n_steps;
  bool predict = half_string.tension(state) > 0.; // an unstrung limb has no tangent yet
  while (at != to)
  {
    if (stop != nullptr && stop->load())
      return {false, "it was interrupted"};
    const double next = std::abs(to - at) < 1.01 * std::abs(size) ? to : at + size;
    State trial = predict ? state + equilibrium.rate(state, at, loads) * (next - at) : state;
    const NewtonResult result = equilibrium.solve(trial, state, next, loads);
    iterations += result.iterations;
    if (result.converged)
    {
      state = trial;
      at = next;
      predict = true;
      accept(at, state, result.iterations);
      continue;
    }
    ++steps_cut;
    size /= 2.;
    if (std::abs(size) < std::abs(to - from) / 256.)
      return {false, result.reason};
    predict = false; // the failed attempt's factorisation is no tangent of the last good state
  }
  return {};
}

PathStep BowPath::drawn_step(const State &state, double draw, double slack_length, const PathStep *last)
{
  PathStep step;
  step.stage = draw == bow.brace_height ? "braced" : draw == bow.full_draw ? "full draw" : "drawing";
  step.state = state;
  const State rate = equilibrium.rate(state, draw, half_string.drawing(slack_length));
  const auto g = half_string.geometry(state, draw);
  // The string's points depend linearly on the state.
  const auto moved = half_string.geometry(state + rate, draw);
  step.tip_rate = moved.tip - g.tip;
  step.tension_rate = rate.scalars[0];
  const Eigen::Vector2d director_rate = moved.director - g.director;
  step.tip_angle_rate = (g.director.y() * director_rate.x() - g.director.x() * director_rate.y()) / g.director.squaredNorm();
  step.tip_angle_rate = -step.tip_angle_rate; // lean toward the target falls as the limb bends to the archer

  DrawPoint &p = step.point;
  p.draw = draw;
  p.tension = half_string.tension(state);
  p.force = 2. * p.tension * g.direction.x();
  const Eigen::Vector2d run_rate = step.tip_rate + Eigen::Vector2d::UnitX(); // the nocking point moves along minus x
  const Eigen::Vector2d direction_rate = (run_rate - g.direction * g.direction.dot(run_rate)) / g.length;
  p.stiffness = 2. * (step.tension_rate * g.direction.x() + p.tension * direction_rate.x());
  p.tip_x = g.tip.x();
  p.tip_y = g.tip.y();
  const double unstrung_lean = tip_lean(half_string.geometry(equilibrium.zero(1), draw).director);
  p.tip_angle = std::remainder(unstrung_lean - tip_lean(g.director), 2. * M_PI);
  const Eigen::Vector2d tangent = Eigen::Vector2d(g.director.y(), -g.director.x()).normalized();
  p.string_angle = std::acos(std::clamp(tangent.dot(g.direction), -1., 1.));
  const auto energy = limb.energy(state.q[0]);
  p.strain_energy = 2. * (energy.laminations + energy.glue + half_string.energy(slack_length, p.tension));
  if (last != nullptr)
  {
    // Three-point Gauss quadrature of the interpolated force.
    DrawPath between;
    between.steps = {*last, step};
    const double h = draw - last->point.draw, r = std::sqrt(0.6);
    const auto force = [&](double t) {
      return interpolate_draw_curve(between, {last->point.draw + 0.5 * h * (1. + t)}).front().force;
    };
    p.work = last->point.work + h / 18. * (5. * force(-r) + 8. * force(0.) + 5. * force(r));
  }
  return step;
}

DrawPath BowPath::run(const std::function<void(const PathProgress &)> &progress, const std::atomic<bool> *stop)
{
  DrawPath path;
  State state = equilibrium.zero(1);
  PathStep unstrung;
  unstrung.stage = "unstrung";
  unstrung.state = state;
  unstrung.point.draw = bow.brace_height;
  const double start = half_string.geometry(state, bow.brace_height).tip.x();
  unstrung.point.tip_x = start;
  unstrung.point.tip_y = half_string.geometry(state, bow.brace_height).tip.y();
  path.steps.push_back(unstrung);
  const auto fail = [&](const std::string &stage, const std::string &reason) {
    path.failed_stage = stage;
    path.reason = reason;
    return path;
  };

  if (start <= -bow.brace_height)
    return fail("stringing", "the unstrung tips already lie at brace height or beyond: there is nothing to string");
  int step = 0;
  const auto tell = [&](const std::string &stage, int n_steps, double draw, int iterations) {
    if (progress)
      progress({stage, ++step, std::max(step, n_steps), draw, iterations});
  };
  Outcome outcome =
      march(state, start, -bow.brace_height, settings.brace_steps, half_string.bracing(bow.brace_height), path.brace_iterations,
            path.steps_cut,
            [&](double, const State &, int iterations) { tell("stringing", settings.brace_steps, bow.brace_height, iterations); },
            stop);
  if (!outcome.reached)
    return fail("stringing", outcome.reason);
  if (half_string.tension(state) <= 0.)
    return fail("stringing", "the string would hang slack at this brace height");

  const double slack = path.slack_length =
      half_string.slack_length(half_string.geometry(state, bow.brace_height).length, half_string.tension(state));
  path.steps.push_back(drawn_step(state, bow.brace_height, slack, nullptr));
  path.steps.back().iterations = path.brace_iterations;
  step = 0;
  outcome = march(state, bow.brace_height, bow.full_draw, settings.draw_steps, half_string.drawing(slack), path.draw_iterations,
                  path.steps_cut,
                  [&](double draw, const State &reached, int iterations) {
                    path.steps.push_back(drawn_step(reached, draw, slack, &path.steps.back()));
                    path.steps.back().iterations = iterations;
                    tell("drawing", settings.draw_steps, draw, iterations);
                  },
                  stop);
  if (!outcome.reached)
    return fail("drawing", outcome.reason);
  path.complete = true;
  return path;
}

std::vector<DrawPoint> interpolate_draw_curve(const DrawPath &path, const std::vector<double> &draws)
{
  std::vector<DrawPoint> curve;
  const auto &steps = path.steps;
  const auto first = std::find_if(steps.begin(), steps.end(), [](const PathStep &s) { return s.stage != "unstrung"; });
  for (const double draw : draws)
  {
    if (first == steps.end() || draw < first->point.draw - 1e-12 || draw > steps.back().point.draw + 1e-12)
      continue;
    const auto after =
        std::find_if(first, steps.end(), [&](const PathStep &step) { return step.point.draw >= draw - 1e-12; });
    if (after == first || std::abs(after->point.draw - draw) < 1e-12)
    {
      curve.push_back(after->point);
      continue;
    }
    const PathStep &a = *(after - 1), &b = *after;
    const double h = b.point.draw - a.point.draw, t = (draw - a.point.draw) / h;
    const double value_a = (1. + 2. * t) * (1. - t) * (1. - t), rate_a = h * t * (1. - t) * (1. - t),
                 value_b = t * t * (3. - 2. * t), rate_b = h * t * t * (t - 1.);
    const double slope_a = 6. * t * (t - 1.) / h, slope_rate_a = 1. - 4. * t + 3. * t * t, slope_rate_b = 3. * t * t - 2. * t;
    const auto hermite = [&](double va, double ra, double vb, double rb) {
      return std::pair(value_a * va + rate_a * ra + value_b * vb + rate_b * rb,
                       slope_a * (va - vb) + slope_rate_a * ra + slope_rate_b * rb);
    };
    DrawPoint p;
    p.draw = draw;
    double tension_rate, x_rate, y_rate;
    std::tie(p.tension, tension_rate) = hermite(a.point.tension, a.tension_rate, b.point.tension, b.tension_rate);
    std::tie(p.tip_x, x_rate) = hermite(a.point.tip_x, a.tip_rate.x(), b.point.tip_x, b.tip_rate.x());
    std::tie(p.tip_y, y_rate) = hermite(a.point.tip_y, a.tip_rate.y(), b.point.tip_y, b.tip_rate.y());
    p.tip_angle = hermite(a.point.tip_angle, a.tip_angle_rate, b.point.tip_angle, b.tip_angle_rate).first;
    const Eigen::Vector2d run(p.tip_x + draw, p.tip_y), run_rate(x_rate + 1., y_rate);
    const Eigen::Vector2d direction = run.normalized(),
                          direction_rate = (run_rate - direction * direction.dot(run_rate)) / run.norm();
    p.force = 2. * p.tension * direction.x();
    p.stiffness = 2. * (tension_rate * direction.x() + p.tension * direction_rate.x());
    // The string angle differs from the sum of the tip's lean and the string's by the same constant in both steps.
    const auto string_lean = [](double x, double y) { return std::atan2(x, y); };
    const double offset = a.point.string_angle - a.point.tip_angle -
                          string_lean(a.point.tip_x + a.point.draw, a.point.tip_y);
    p.string_angle = std::abs(offset + p.tip_angle + string_lean(run.x(), run.y()));
    const double part = draw - a.point.draw;
    p.work = a.point.work + part / 2. * (a.point.force + p.force) + part * part / 12. * (a.point.stiffness - p.stiffness);
    p.strain_energy = (1. - t) * (a.point.strain_energy - a.point.work) + t * (b.point.strain_energy - b.point.work) + p.work;
    curve.push_back(p);
  }
  return curve;
}
} // namespace limbwright
