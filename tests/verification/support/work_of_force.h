#pragma once

#include "solver/stages/draw_curve.h"

#include <vector>

namespace limbwright::checks
{
/// [J] that the hand does from the first point to the last, of force and stiffness alone: the integral of the cubic through both
/// ends of every piece. What the program tells as work is what the bow has taken up; this is the check of it.
inline double work_of_force(const std::vector<DrawPoint> &points)
{
  double work = 0.;
  for (std::size_t i = 0; i + 1 < points.size(); ++i)
  {
    const DrawPoint &from = points[i], &to = points[i + 1];
    const double step = to.draw - from.draw;
    work += step / 2. * (from.force + to.force) + step * step / 12. * (from.stiffness - to.stiffness);
  }
  return work;
}

/// The same from brace to a path's last step, between them as the draw curve has it.
inline double work_of_force(const DrawPath &path)
{
  double work = 0.;
  for (std::size_t i = 1; i + 1 < path.steps.size(); ++i)
    work += work_between(path.steps[i], path.steps[i + 1]);
  return work;
}
} // namespace limbwright::checks
