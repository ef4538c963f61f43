#include "solver/stages/draw_curve.h"

#include <algorithm>
#include <cmath>

namespace limbwright
{
DrawPoint point_from(const Readings &r, double draw)
{
  DrawPoint p;
  p.draw = draw;
  p.tip_x = r[tip_x];
  p.tip_y = r[tip_y];
  p.tip_angle = r[tip_angle];
  p.string_angle = r[string_angle];
  p.nocking_height = r[nocking_height];
  p.handle_turn = r[handle_turn];
  p.dissipated = r[used_up];
  p.tension = p.tension_lower = r[first_limb];
  const bool two = r.size() > first_limb + 2;
  p.force = r[first_limb] * r[first_limb + 1] * (two ? 1. : 2.);
  if (two)
  {
    p.tension_lower = r[first_limb + 2];
    p.force += r[first_limb + 2] * r[first_limb + 3];
  }
  return p;
}

double force_rate(const Readings &r, const Readings &rate)
{
  double sum = 0.;
  for (Eigen::Index i = first_limb; i < r.size(); i += 2)
    sum += rate[i] * r[i + 1] + r[i] * rate[i + 1];
  return r.size() > first_limb + 2 ? sum : 2. * sum;
}

namespace
{
struct Between
{
  Readings values, rates;
};

// Cubic Hermite interpolation; draw [m].
Between between(const PathStep &a, const PathStep &b, double draw)
{
  const double h = b.point.draw - a.point.draw, t = (draw - a.point.draw) / h;
  return {(1. + 2. * t) * (1. - t) * (1. - t) * a.readings + h * t * (1. - t) * (1. - t) * a.rates +
              t * t * (3. - 2. * t) * b.readings + h * t * t * (t - 1.) * b.rates,
          6. * t * (t - 1.) / h * (a.readings - b.readings) + (1. - 4. * t + 3. * t * t) * a.rates +
              (3. * t * t - 2. * t) * b.rates};
}

// Of the force from a step to a draw between it and another [J].
double work_to(const PathStep &a, const PathStep &b, double draw)
{
  const double half = 0.5 * (draw - a.point.draw), r = std::sqrt(0.6);
  const auto force = [&](double t) { return point_from(between(a, b, a.point.draw + half * (1. + t)).values, draw).force; };
  return half / 9. * (5. * force(-r) + 8. * force(0.) + 5. * force(r));
}
} // namespace

double work_between(const PathStep &from, const PathStep &to)
{
  return work_to(from, to, to.point.draw);
}

std::vector<double> draws_between(double first, double last, const std::vector<double> &wanted)
{
  constexpr double same = 1e-9; // [m] a whole inch in metres and full draw may differ by rounding
  std::vector<double> draws = {first};
  for (const double draw : wanted)
    if (draw > first + same && draw < last - same)
      draws.push_back(draw);
  draws.push_back(last);
  std::sort(draws.begin(), draws.end());
  return draws;
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
    const auto after = std::find_if(first, steps.end(), [&](const PathStep &step) { return step.point.draw >= draw - 1e-12; });
    if (after == first || std::abs(after->point.draw - draw) < 1e-12)
    {
      curve.push_back(after->point);
      continue;
    }
    const PathStep &a = *(after - 1), &b = *after;
    const double t = (draw - a.point.draw) / (b.point.draw - a.point.draw);
    const auto [values, rates] = between(a, b, draw);
    DrawPoint p = point_from(values, draw);
    p.stiffness = force_rate(values, rates);
    p.contact_length = (1. - t) * a.point.contact_length + t * b.point.contact_length;
    p.lift_off_station = (1. - t) * a.point.lift_off_station + t * b.point.lift_off_station;
    p.contact_length_lower = (1. - t) * a.point.contact_length_lower + t * b.point.contact_length_lower;
    p.lift_off_station_lower = (1. - t) * a.point.lift_off_station_lower + t * b.point.lift_off_station_lower;
    // The steps' own work is exact; what the force between them comes to beside it is shared out without a kink.
    p.work = a.point.work + work_to(a, b, draw) + t * t * (3. - 2. * t) * (b.point.work - a.point.work - work_between(a, b));
    p.dissipated = std::clamp(p.dissipated, a.point.dissipated, std::max(a.point.dissipated, b.point.dissipated));
    p.strain_energy = a.point.strain_energy + (p.work - a.point.work) - (p.dissipated - a.point.dissipated);
    curve.push_back(p);
  }
  return curve;
}

std::vector<DrawPoint> carried_curve(std::vector<DrawPoint> of_guide, const DrawPath &guide, const DrawPath &path)
{
  const DrawPoint &guide_braced = guide.steps[1].point, &guide_full = guide.steps.back().point;
  const DrawPoint &braced = path.steps[1].point, &full = path.steps.back().point;
  for (DrawPoint &point : of_guide)
  {
    const double share = (point.draw - guide_braced.draw) / (guide_full.draw - guide_braced.draw);
    for (double DrawPoint::*value :
         {&DrawPoint::force, &DrawPoint::stiffness, &DrawPoint::tension, &DrawPoint::string_angle, &DrawPoint::work,
          &DrawPoint::strain_energy, &DrawPoint::dissipated, &DrawPoint::tip_x, &DrawPoint::tip_y, &DrawPoint::tip_angle,
          &DrawPoint::tension_lower, &DrawPoint::nocking_height, &DrawPoint::handle_turn})
      point.*value += (1. - share) * (braced.*value - guide_braced.*value) + share * (full.*value - guide_full.*value);
  }
  return of_guide;
}
} // namespace limbwright
