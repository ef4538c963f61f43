// Weak zones as they lie in a limb's shape.
#include "meshing/shape/limb_shape.h"

namespace limbwright
{
std::vector<WidthStrip> LimbShape::strips(const std::size_t lamination, const double s, const double depth) const
{
  if (!weak_at(limb.weak, lamination, s))
    return {WidthStrip{}};
  return width_strips(limb.weak, lamination, s, depth - back_face_depth(lamination, s),
                      {thickness(lamination, s), width(s, depth)});
}

GrainTurn LimbShape::grain_turn(const std::size_t lamination, const double s, const double depth, const double across) const
{
  return limbwright::grain_turn(limb.weak, lamination, {s, depth - back_face_depth(lamination, s), across},
                                {thickness(lamination, s), width(s, depth)});
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
  return limbwright::knot_at(limb.weak, lamination, {s, depth - back_face_depth(lamination, s), across},
                             {thickness(lamination, s), width(s, depth)});
}
} // namespace limbwright
