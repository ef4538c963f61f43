#include "solver/stages/limit_point.h"

#include "meshing/shape/flaws.h"
#include "solver/model/section_functional.h"

#include <algorithm>
#include <cmath>
#include <cstdio>

namespace limbwright
{
namespace
{
double dot(const std::vector<Eigen::VectorXd> &a, const std::vector<Eigen::VectorXd> &b)
{
  double sum = 0.;
  for (std::size_t p = 0; p < a.size(); ++p)
    sum += a[p].dot(b[p]);
  return sum;
}

// The parameter as one scalar more, found by the condition that the displacements have moved so far along a direction.
Loads held_along(const Loads &loads, const std::vector<Eigen::VectorXd> &from, const std::vector<Eigen::VectorXd> &direction,
                 double distance)
{
  return [&loads, &from, &direction, distance](const State &state, double, CoupledSystem &system)
  {
    const Eigen::Index last = state.scalars.size() - 1;
    loads(state, state.scalars[last], system);
    system.corner.col(last) += system.constraint_rate;
    system.constraint[last] = dot(direction, state.q) - dot(direction, from) - distance;
    for (std::size_t p = 0; p < direction.size(); ++p)
    {
      system.columns[p].col(last) += system.residual_rate[p];
      system.rows[p].col(last) = direction[p];
    }
  };
}

State with_parameter(State state, double parameter)
{
  state.scalars.conservativeResize(state.scalars.size() + 1);
  state.scalars[state.scalars.size() - 1] = parameter;
  return state;
}

// Of a parabola through three points (distance, parameter).
double extreme(const std::array<std::pair<double, double>, 3> &points)
{
  const auto [s0, p0] = points[0];
  const auto [s1, p1] = points[1];
  const auto [s2, p2] = points[2];
  const double first = (p1 - p0) / (s1 - s0), second = ((p2 - p1) / (s2 - s1) - first) / (s2 - s0);
  const double at = 0.5 * (s0 + s1 - first / second);
  return p0 + first * (at - s0) + second * (at - s0) * (at - s1);
}
} // namespace

LimitPoint seek_limit_point(Equilibrium &equilibrium, const PathPoint &before, const PathPoint &now, double target,
                            const Loads &loads, double shortest)
{
  constexpr int most_steps = 60, most_iterations = 12;
  constexpr double longest = 4.;  // [1] step over the last one of the path
  constexpr double turned = 1e-4; // [1] of the way to the target: the parameter went back for certain
  const auto set_histories = [&](const std::vector<History> &histories)
  {
    for (std::size_t p = 0; p < histories.size(); ++p)
      equilibrium.solids()[p]->set_history(histories[p]);
  };

  LimitPoint result;
  std::vector<PathPoint> points = {before, now};
  std::vector<double> distances = {0., 0.};
  std::vector<Eigen::VectorXd> direction = (now.state - before.state).q;
  const double first = std::sqrt(dot(direction, direction)), sign = target > now.parameter ? 1. : -1.;
  const double whole = std::abs(target - before.parameter);
  distances[1] = first;
  double size = first, best = now.parameter;
  result.last = now;
  for (int step = 0; step < most_steps && size >= shortest * first;)
  {
    const PathPoint &last = points.back();
    direction = (last.state - points[points.size() - 2].state).q;
    const double run = std::sqrt(dot(direction, direction));
    for (Eigen::VectorXd &part : direction)
      part /= run;
    const State from = with_parameter(last.state, last.parameter);
    const double earlier = points[points.size() - 2].parameter;
    State trial = from + (from - with_parameter(points[points.size() - 2].state, earlier)) * (size / run);
    set_histories(last.history);
    // Plain: steps are short, and where wood is about to be crushed the mixed-point method was seen to go round in circles.
    NewtonLimits limits{most_iterations};
    limits.mixed_point = false;
    const NewtonResult newton = equilibrium.solve(trial, from, 0., held_along(loads, from.q, direction, size), limits);
    result.iterations += newton.iterations;
    if (!newton.converged)
    {
      result.reason = newton.reason;
      size /= 2.;
      continue;
    }
    ++step;
    PathPoint next;
    next.parameter = trial.scalars[trial.scalars.size() - 1];
    next.state = trial;
    next.state.scalars.conservativeResize(trial.scalars.size() - 1);
    for (std::size_t p = 0; p < trial.q.size(); ++p)
    {
      equilibrium.solids()[p]->commit(trial.q[p]);
      next.history.push_back(equilibrium.solids()[p]->history());
    }
    distances.push_back(distances.back() + size);
    points.push_back(std::move(next));
    result.motion = direction;
    const double reached = points.back().parameter;
    if (sign * (reached - target) >= 0.)
    {
      result.end = LimitPoint::End::target;
      break;
    }
    if (sign * (reached - best) > 0.)
    {
      best = reached;
      result.last = points.back();
    }
    else if (sign * (best - reached) > turned * whole)
    {
      result.end = LimitPoint::End::turned;
      const auto peak =
          std::max_element(points.begin(), points.end(),
                           [sign](const PathPoint &a, const PathPoint &b) { return sign * a.parameter < sign * b.parameter; }) -
          points.begin();
      const auto at = [&](std::ptrdiff_t i) { return std::pair(distances[i], points[i].parameter); };
      result.parameter = peak == 0 ? best : extreme({at(peak - 1), at(peak), at(peak + 1)});
      break;
    }
    size = std::min(newton.iterations <= 5 ? 1.5 * size : size, longest * first);
  }
  set_histories(now.history);
  return result;
}

SharpBend sharpest_bend(const LimbModel &limb, const Eigen::VectorXd &q, const Eigen::VectorXd &motion)
{
  const Eigen::VectorXd u = limb.space().expand(q), v = limb.space().expand(motion);
  const auto value = [&](const SectionFunctional &functional, const Eigen::VectorXd &field)
  {
    Eigen::Vector2d sum = Eigen::Vector2d::Zero();
    for (std::size_t i = 0; i < functional.nodes.size(); ++i)
      sum += functional.weights[i] * field.segment<2>(limb.dimension() * static_cast<Eigen::Index>(functional.nodes[i]));
    return sum;
  };
  const std::vector<double> &stations = limb.column_stations();
  std::vector<double> turns;
  for (const double station : stations)
  {
    const SectionFunctional functional = section_director(limb, station);
    const Eigen::Vector2d director = functional.reference.head<2>() + value(functional, u), moved = value(functional, v);
    turns.push_back((director.x() * moved.y() - director.y() * moved.x()) / director.squaredNorm());
  }
  SharpBend hinge;
  double most = 0., sum = 0.;
  for (std::size_t i = 1; i < stations.size(); ++i)
  {
    const double turn = std::abs(turns[i] - turns[i - 1]);
    sum += turn;
    if (turn / (stations[i] - stations[i - 1]) > most)
    {
      most = turn / (stations[i] - stations[i - 1]);
      hinge.station = 0.5 * (stations[i] + stations[i - 1]);
    }
  }
  hinge.sharpness = sum > 0. ? most * (stations.back() - stations.front()) / sum : 0.;
  return hinge;
}

std::string place_words(const LimbModel &limb, double station)
{
  const auto inches = [](double length)
  {
    std::array<char, 40> text{};
    std::snprintf(text.data(), text.size(), "%.1f in from center", length / 0.0254);
    return std::string(text.data());
  };
  const std::vector<Flaw> list = flaws(limb.shape());
  for (std::size_t i = 0; i < list.size(); ++i)
  {
    if (!counts_for(list, i, station))
      continue;
    const Flaw &flaw = list[i];
    const double middle = 0.5 * (flaw.from + flaw.to);
    switch (flaw.kind)
    {
    case FlawKind::knot:
      return (limb.shape().description().weak.knots[static_cast<std::size_t>(flaw.number)].state == KnotState::hole
                  ? "at the hole at "
                  : "at the knot at ") +
             inches(middle);
    case FlawKind::weak_glue:
      return (limb.shape().description().glue[static_cast<std::size_t>(flaw.glue_line)].of_split ? "at the split at "
                                                                                                 : "at the patch at ") +
             inches(middle);
    case FlawKind::sloping_grain:
      return "at the sloping grain at " + inches(station);
    }
  }
  return "at " + inches(station);
}
} // namespace limbwright
