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

// Where laminations follow the crown of the back: the innermost one that runs the whole limb. It takes up the fall; what lies on
// its belly, a handle block, is glued on flat. Where a splinter has come out of that one, no other runs the whole limb.
std::size_t crown_rests_on(const LimbShape &shape)
{
  const LimbDescription &limb = shape.description();
  for (std::size_t i = 0; i < shape.n_laminations(); ++i)
    if (shape.start(i) <= limb.root_station && shape.end(i) >= limb.tip_station)
      return i;
  return 0;
}

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
  std::vector<double> looked_at = kinks();
  for (int i = 0; i <= n_looked_at; ++i)
    looked_at.push_back(limb.root_station + length() * i / n_looked_at);

  const auto fall = [&](bool falls, const FaceShape &face, double s)
  { return falls ? face_fall(face, limb.width.at(s), stack(s), 1.) : 0.; };
  const std::size_t rest = follow ? crown_rests_on(*this) : 0;
  const auto fits = [&](std::size_t lamination, double s, double falls)
  {
    double least = thickness(lamination, s);
    for (const double edge : {-1., 1.})
      least = std::min(least, slanted_depth(lamination, s, belly_face_depth(lamination, s), edge) -
                                  slanted_depth(lamination, s, back_face_depth(lamination, s), edge));
    return falls <= least - least_left * thickness(lamination, s);
  };
  for (const double s : looked_at)
  {
    const double of_back = fall(falling_back, limb.section.back, s), of_belly = fall(falling_belly, limb.section.belly, s);
    // What follows the crown of the back thins the lamination it rests on, else the outermost.
    const std::size_t under_back = follow ? rest : outermost(s), under_belly = innermost(s);
    if (under_back == under_belly && !fits(under_back, s, of_back + of_belly))
      falling_back = falling_belly = false;
    falling_back = falling_back && fits(under_back, s, of_back);
    falling_belly = falling_belly && fits(under_belly, s, of_belly);
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
    const std::size_t under = section.follow_crown ? crown_rests_on(*this) : outermost(s);
    const double share_of_fall = lamination == under ? 1. - below_back : section.follow_crown && lamination > under ? 1. : 0.;
    place.depth += share_of_fall * face_fall(section.back, widest, whole, across);
  }
  if (falling_belly && lamination == innermost(s))
    place.depth -= below_back * face_fall(section.belly, widest, whole, across);
  return place;
}

std::vector<std::pair<std::size_t, double>> LimbShape::across(const std::size_t lamination, const double s,
                                                              const double depth) const
{
  const auto *crown = std::get_if<ArcFace>(&limb.section.back);
  if (crown == nullptr || !limb.section.follow_crown)
    return {{lamination, 1.}};
  const double widest = limb.width.at(s), whole = stack(s);
  const std::size_t rest = crown_rests_on(*this);
  // Of the width, where the back face of a lamination lies above the depth. [1]
  const auto covered = [&](std::size_t i)
  {
    const double fall = depth - back_face_depth(i, s) + 0.5 * gap(i, s);
    return fall <= 0. ? 0. : i < rest ? 1. : face_width_share(*crown, widest, whole, fall);
  };
  std::vector<std::pair<std::size_t, double>> shares;
  double sum = 0., before = 0.;
  for (std::size_t i = 0; i < n_laminations(); ++i)
    if (present(i, s))
    {
      const double now = covered(i);
      if (now > before)
      {
        shares.push_back({i, now - before});
        sum += now - before;
      }
      before = now;
    }
  for (auto &[i, share] : shares)
    share /= sum;
  return shares;
}

std::size_t LimbShape::lamination_at(const std::size_t lamination, const double s, const double depth, const double across) const
{
  const auto *crown = std::get_if<ArcFace>(&limb.section.back);
  if (crown == nullptr || !limb.section.follow_crown)
    return lamination;
  const double widest = limb.width.at(s), whole = stack(s);
  const std::size_t rest = crown_rests_on(*this);
  // The outermost one whose back face, which falls toward the edges, lies above the place.
  std::size_t found = lamination;
  for (std::size_t i = 0; i < n_laminations(); ++i)
    if (present(i, s))
    {
      const double fall = depth - back_face_depth(i, s) + 0.5 * gap(i, s);
      if (fall > 0. && (i < rest || face_width_share(*crown, widest, whole, fall) >= std::abs(across)))
        found = i;
    }
  return found;
}
} // namespace limbwright
