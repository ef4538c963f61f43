// Weak zones and splits as they lie in a limb's shape.
#include "meshing/shape/limb_shape.h"

#include <algorithm>

namespace limbwright
{
std::size_t LimbShape::first_piece(std::size_t lamination) const
{
  while (limb.laminations[lamination].split_off)
    --lamination;
  return lamination;
}

std::size_t LimbShape::last_piece(std::size_t lamination) const
{
  while (lamination + 1 < n_laminations() && limb.laminations[lamination + 1].split_off)
    ++lamination;
  return lamination;
}

double LimbShape::whole_back_depth(const std::size_t lamination, const double s) const
{
  std::size_t top = last_piece(lamination);
  while (top > first_piece(lamination) && !present(top, s))
    --top;
  return back_face_depth(top, s);
}

double LimbShape::whole_thickness(const std::size_t lamination, const double s) const
{
  double sum = 0.;
  for (std::size_t piece = first_piece(lamination); piece <= last_piece(lamination); ++piece)
    sum += thickness(piece, s);
  return sum;
}

// Zones are told of a lamination as it is without splits.
std::vector<WidthStrip> LimbShape::strips(const std::size_t lamination, const double s, const double depth) const
{
  const std::size_t whole = first_piece(lamination);
  if (!weak_at(limb.weak, whole, s))
    return {WidthStrip{}};
  return width_strips(limb.weak, whole, s, depth - whole_back_depth(lamination, s),
                      {whole_thickness(lamination, s), width(s, depth)});
}

GrainTurn LimbShape::grain_turn(const std::size_t lamination, const double s, const double depth, const double across) const
{
  return limbwright::grain_turn(limb.weak, first_piece(lamination), {s, depth - whole_back_depth(lamination, s), across},
                                {whole_thickness(lamination, s), width(s, depth)});
}

GrainTurn LimbShape::mean_grain_turn(const std::size_t lamination, const double s, const double depth) const
{
  GrainTurn mean;
  for (const WidthStrip &strip : strips(lamination, s, depth))
  {
    mean.dive += strip.share * strip.grain.dive;
    mean.turn += strip.share * strip.grain.turn;
  }
  return mean;
}

int LimbShape::knot_at(const std::size_t lamination, const double s, const double depth, const double across) const
{
  return limbwright::knot_at(limb.weak, first_piece(lamination), {s, depth - whole_back_depth(lamination, s), across},
                             {whole_thickness(lamination, s), width(s, depth)});
}
} // namespace limbwright
