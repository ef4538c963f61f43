// The section of a solid limb: where its rounded faces fall.
#include "meshing/shape/limb_shape.h"

#include <algorithm>
#include <cmath>
#include <variant>

namespace limbwright
{
namespace
{
// Of a lamination's thickness at the edge, what must be left once its faces have fallen. [1] Judgement: elements there are
// wedges.
constexpr double least_left = 0.2;

bool straight(const FaceShape &face)
{
  return std::holds_alternative<PlainFace>(face) || std::holds_alternative<TrappedFace>(face);
}
} // namespace

std::size_t LimbShape::innermost(const double s) const
{
  std::size_t lamination = 0;
  while (!present(lamination, s))
    ++lamination;
  return lamination;
}

std::size_t LimbShape::outermost(const double s) const
{
  std::size_t lamination = n_laminations() - 1;
  while (!present(lamination, s))
    --lamination;
  return lamination;
}

void LimbShape::let_faces_fall()
{
  falling_back = !straight(limb.section.back);
  falling_belly = !straight(limb.section.belly);
  const bool follow = limb.section.follow_crown;
  constexpr int n_looked_at = 60;
  for (int i = 0; i <= n_looked_at; ++i)
  {
    const double s = limb.root_station + length() * i / n_looked_at, wide = limb.width.at(s), whole = stack(s);
    const double of_back = falling_back ? face_fall(limb.section.back, wide, whole, 1.) : 0.;
    const double of_belly = falling_belly ? face_fall(limb.section.belly, wide, whole, 1.) : 0.;
    // What follows the crown of the back thins the innermost lamination, else the outermost.
    const std::size_t under_back = follow ? innermost(s) : outermost(s), under_belly = innermost(s);
    const auto fits = [&](std::size_t lamination, double fall)
    {
      double least = thickness(lamination, s);
      for (const double edge : {-1., 1.})
        least = std::min(least, slanted_depth(lamination, s, belly_face_depth(lamination, s), edge) -
                                    slanted_depth(lamination, s, back_face_depth(lamination, s), edge));
      return fall <= least - least_left * thickness(lamination, s);
    };
    if (under_back == under_belly && !fits(under_back, of_back + of_belly))
      falling_back = falling_belly = false;
    falling_back = falling_back && fits(under_back, of_back);
    falling_belly = falling_belly && fits(under_belly, of_belly);
  }
}

// Of the largest width, that the rows of a solid take at a depth: what a face that does not fall leaves.
double LimbShape::share_of_width(const double s, const double depth) const
{
  const SectionDescription &section = limb.section;
  const double widest = limb.width.at(s), whole = stack(s), from_back = depth - outer_back_depth(s);
  double share = section.back_width_factor + from_back / whole * (section.belly_width_factor - section.back_width_factor);
  if (!falling_back)
    share = std::min(share, face_width_share(section.back, widest, whole, from_back));
  if (!falling_belly)
    share = std::min(share, face_width_share(section.belly, widest, whole, whole - from_back));
  return share;
}

// How much deeper a split's plane lies at a place across the width than in its middle. [m] Beyond the split's ends the cut goes
// on at the same share of the thickness.
double LimbShape::split_falls(const std::size_t line, const double s, const double across) const
{
  const GlueLineDescription &split = limb.glue[line];
  if (split.slant == 0. || across == 0.)
    return 0.;
  const double within = std::clamp(s, split.patches.front().from, split.patches.front().to);
  const double middle = belly_face_depth(line + 1, within);
  const double reach = 0.5 * across * limb.width.at(within); // z where the sides are upright
  double fall = 0.;
  for (int i = 0; i < 4; ++i) // where they lean, z depends on the depth: each time nearer by a tenth or less
    fall = -std::tan(split.slant) * reach * share_of_width(within, middle + fall);
  return fall * whole_thickness(line, s) / whole_thickness(line, within);
}

double LimbShape::slanted_depth(const std::size_t lamination, const double s, const double depth, const double across) const
{
  const double toward_back = lamination < limb.glue.size() ? split_falls(lamination, s, across) : 0.;
  const double toward_belly = lamination > 0 ? split_falls(lamination - 1, s, across) : 0.;
  if (toward_back == 0. && toward_belly == 0.)
    return depth;
  const double below_back = (depth - back_face_depth(lamination, s)) / thickness(lamination, s);
  return depth + (1. - below_back) * toward_back + below_back * toward_belly;
}

LimbShape::InSection LimbShape::in_section(const std::size_t lamination, const double s, const double depth,
                                           const double across) const
{
  const SectionDescription &section = limb.section;
  const double widest = limb.width.at(s), whole = stack(s);
  InSection place;
  place.depth = slanted_depth(lamination, s, depth, across);
  place.z = 0.5 * across * share_of_width(s, place.depth) * widest;

  const double below_back =
      thickness(lamination, s) > 0. ? (depth - back_face_depth(lamination, s)) / thickness(lamination, s) : 0.;
  if (falling_back)
  {
    const bool thins = lamination == (section.follow_crown ? innermost(s) : outermost(s));
    const double share_of_fall = thins ? 1. - below_back : section.follow_crown ? 1. : 0.;
    place.depth += share_of_fall * face_fall(section.back, widest, whole, across);
  }
  if (falling_belly && lamination == innermost(s))
    place.depth -= below_back * face_fall(section.belly, widest, whole, across);
  return place;
}
} // namespace limbwright
