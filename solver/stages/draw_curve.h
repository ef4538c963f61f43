#pragma once

#include "solver/results.h"
#include "solver/stages/draw_path.h"

#include <vector>

namespace limbwright
{
/// Places of Readings.
enum Reading : int
{
  tip_x,
  tip_y,
  tip_angle,
  string_angle,
  nocking_height,
  handle_turn,
  used_up,   // [J] DrawPoint::dissipated
  first_limb // tension and pull of each limb
};

/// What of a draw point follows from the readings alone.
DrawPoint point_from(const Readings &readings, double draw);
/// d force / d draw [N/m].
double force_rate(const Readings &readings, const Readings &rates);

/// [J] of the hand from one step to the next one, in whichever direction: three-point Gauss quadrature of the force between.
double work_between(const PathStep &from, const PathStep &to);
/// The draws of a curve [m]: both ends, and of those wanted what lies between, each once, in order.
std::vector<double> draws_between(double first, double last, const std::vector<double> &wanted);

/// The draw curve at given draws [m] between a path's braced and last state: readings by cubic Hermite interpolation between the
/// solved steps; the force follows from them, and from it the work, which comes to that of the steps.
std::vector<DrawPoint> interpolate_draw_curve(const DrawPath &path, const std::vector<double> &draws);

/// Points of the curve of a bow of which only the braced and the full-drawn state were solved: those of the guide that led there,
/// what differs at both ends shared out linearly over the draw.
std::vector<DrawPoint> carried_curve(std::vector<DrawPoint> of_guide, const DrawPath &guide, const DrawPath &path);
} // namespace limbwright
