#include "meshing/shape/limb_shape.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace limbwright
{
namespace
{
// Chord from the start of an arc of length ds: exact for any curvature, straight included.
Point2 arc_chord(const double lean, const double curvature, const double ds)
{
  const double half_turn = 0.5 * curvature * ds;
  // The series is exact to rounding below the limit.
  const double shortening = std::abs(half_turn) < 1e-3 ? 1. - half_turn * half_turn / 6. + std::pow(half_turn, 4) / 120.
                                                       : std::sin(half_turn) / half_turn;
  const double middle = lean + half_turn;
  return {ds * shortening * std::sin(middle), ds * shortening * std::cos(middle)};
}
} // namespace

LimbShape::LimbShape(LimbDescription description) : limb(std::move(description))
{
  cut_laminations();
  lay_out_back();
  find_ends();
  check();
  let_faces_fall();
}

void LimbShape::lay_out_back()
{
  const StationTable &table = limb.profile.lean;
  arc_station = table.station;
  const auto place_of_root = std::lower_bound(arc_station.begin(), arc_station.end(), limb.root_station);
  const auto root = static_cast<std::size_t>(place_of_root - arc_station.begin());
  if (place_of_root == arc_station.end() || *place_of_root != limb.root_station)
    arc_station.insert(place_of_root, limb.root_station);

  arc_place.resize(arc_station.size());
  arc_place[root] = {limb.root_back_x, limb.root_back_y};
  const auto chord = [&](const std::size_t i)
  { return arc_chord(table.at(arc_station[i]), table.slope(arc_station[i]), arc_station[i + 1] - arc_station[i]); };
  for (std::size_t i = root; i + 1 < arc_station.size(); ++i)
    arc_place[i + 1] = {arc_place[i][0] + chord(i)[0], arc_place[i][1] + chord(i)[1]};
  for (std::size_t i = root; i-- > 0;)
    arc_place[i] = {arc_place[i + 1][0] - chord(i)[0], arc_place[i + 1][1] - chord(i)[1]};
}

bool LimbShape::present(const std::size_t lamination, const double s) const
{
  // The slack takes up rounding of stations computed by others; real ends are farther apart than that.
  constexpr double slack = 1e-9;
  return s >= start(lamination) - slack && s <= end(lamination) + slack;
}

double LimbShape::pocket_length(const std::size_t lamination) const
{
  double length = 0.;
  for (const LaminationEnd &e : ends)
    if (e.lamination == lamination)
      length = std::max(length, e.pocket);
  return length;
}

double LimbShape::thickness(const std::size_t lamination, const double s) const
{
  if (!present(lamination, s))
    return 0.;
  const LaminationDescription &description = limb.laminations[lamination];
  const double within = std::clamp(s, start(lamination), end(lamination));
  double thickness = description.thickness.at(within);
  if (description.bevel <= 0.)
    return thickness;

  const auto bevelled = [&](const double distance, const double square_thickness)
  {
    if (distance < description.bevel && square_thickness > description.feather)
      thickness = std::min(thickness, description.feather + (description.thickness.at(within) - description.feather) * distance /
                                                                description.bevel);
  };
  if (start(lamination) > limb.root_station)
    bevelled(within - start(lamination), description.thickness.at(start(lamination)));
  if (end(lamination) < limb.tip_station)
    bevelled(end(lamination) - within, description.thickness.at(end(lamination)));
  return thickness;
}

double LimbShape::full_thickness(const std::size_t lamination) const
{
  const StationTable &table = limb.laminations[lamination].thickness;
  double most = std::max(table.at(start(lamination)), table.at(end(lamination)));
  for (std::size_t i = 0; i < table.station.size(); ++i)
    if (present(lamination, table.station[i]))
      most = std::max(most, table.value[i]);
  return most;
}

double LimbShape::space(const std::size_t lamination, const double s) const
{
  for (const LaminationEnd &e : ends)
    if (e.lamination == lamination && e.inner)
      if (const double beyond = e.toward_tip ? s - e.station : e.station - s; beyond >= 0. && beyond < e.pocket)
        return e.space(beyond);
  return 0.;
}

std::size_t LimbShape::next_toward_back(const std::size_t lamination, const double s) const
{
  std::size_t next = lamination + 1;
  while (next < n_laminations() && !present(next, s))
    ++next;
  return next;
}

double LimbShape::gap(const std::size_t lamination, const double s) const
{
  const std::size_t next = next_toward_back(lamination, s);
  return next < n_laminations() ? gap(lamination, next, s) : 0.;
}

double LimbShape::gap(const std::size_t belly_side, const std::size_t back_side, const double s) const
{
  double gap = limb.glue[belly_side].thickness;
  if (const GluePatch *patch = patch_at(limb.glue[belly_side], s))
    gap += patch->gap_at(s);
  for (std::size_t absent = belly_side + 1; absent < back_side; ++absent)
    gap += space(absent, s);
  // Laminations before the datum have the layers that come down over them on their belly, those behind it on their back.
  for (const LaminationEnd &e : ends)
    if (const double before = e.toward_tip ? e.station - s : s - e.station;
        e.lamination == (e.lamination < datum ? back_side : belly_side) && before < e.lift)
      gap += e.space_before(std::max(0., before));
  return gap;
}

LooseLayer LimbShape::loose_layer(const std::size_t line, const double s) const
{
  LooseLayer belly{0., line, true}, back{0., next_toward_back(line, s), false};
  for (std::size_t i = 0; i < n_laminations(); ++i)
    (i <= line ? belly : back).thickness += thickness(i, s);
  return back.lamination == n_laminations() || belly.thickness < back.thickness ? belly : back;
}

double LimbShape::back_face_depth(const std::size_t lamination, const double s) const
{
  double depth = 0.;
  const std::size_t top = datum_at(s);
  for (std::size_t below = lamination; below < top; below = next_toward_back(below, s))
    depth += gap(below, s) + (below == lamination ? 0. : thickness(below, s));
  if (lamination < top)
    return depth + thickness(top, s);
  for (std::size_t below = top; below < lamination; below = next_toward_back(below, s))
    depth -= gap(below, s) + thickness(next_toward_back(below, s), s);
  return depth;
}

double LimbShape::belly_face_depth(const std::size_t lamination, const double s) const
{
  return back_face_depth(lamination, s) + thickness(lamination, s);
}

double LimbShape::outer_back_depth(const double s) const
{
  std::size_t outermost = n_laminations() - 1;
  while (!present(outermost, s))
    --outermost;
  return back_face_depth(outermost, s);
}

double LimbShape::outer_belly_depth(const double s) const
{
  std::size_t innermost = 0;
  while (!present(innermost, s))
    ++innermost;
  return belly_face_depth(innermost, s);
}

double LimbShape::stack(const double s) const
{
  return outer_belly_depth(s) - outer_back_depth(s);
}

double LimbShape::lean(const double s) const
{
  return limb.profile.lean.at(s);
}

Point2 LimbShape::back(const double s) const
{
  const auto after = std::upper_bound(arc_station.begin(), arc_station.end(), s);
  const auto i = static_cast<std::size_t>(after == arc_station.begin() ? 0 : after - arc_station.begin() - 1);
  const double curvature = s < arc_station[i] ? 0. : limb.profile.lean.slope(arc_station[i]);
  const Point2 chord = arc_chord(lean(arc_station[i]), curvature, s - arc_station[i]);
  return {arc_place[i][0] + chord[0], arc_place[i][1] + chord[1]};
}

Point2 LimbShape::place(const double s, const double depth) const
{
  const Point2 on_back = back(s);
  const double angle = lean(s);
  return {on_back[0] - depth * std::cos(angle), on_back[1] + depth * std::sin(angle)};
}

double LimbShape::width(const double s, const double depth) const
{
  const SectionDescription &section = limb.section;
  const double widest = limb.width.at(s), from_back = depth - outer_back_depth(s), whole = stack(s);
  const double sides = section.back_width_factor + from_back / whole * (section.belly_width_factor - section.back_width_factor);
  return widest * std::min({sides, face_width_share(section.back, widest, whole, from_back),
                            face_width_share(section.belly, widest, whole, whole - from_back)});
}

double LimbShape::prestrain(const std::size_t lamination, const double s, const double depth) const
{
  const LaminationDescription &description = limb.laminations[lamination];
  const double bent =
      description.bent_to_form
          ? limb.profile.lean.slope(s) * (depth - whole_back_depth(lamination, s) - 0.5 * whole_thickness(lamination, s))
          : 0.;
  return description.shrinkage + bent;
}

std::vector<double> LimbShape::width_breaks(const double s) const
{
  const double back_depth = outer_back_depth(s), belly_depth = outer_belly_depth(s), widest = limb.width.at(s);
  std::vector<double> breaks{back_depth, belly_depth,
                             back_depth + face_reach(limb.section.back, widest, belly_depth - back_depth),
                             belly_depth - face_reach(limb.section.belly, widest, belly_depth - back_depth)};
  std::sort(breaks.begin(), breaks.end());
  breaks.erase(std::unique(breaks.begin(), breaks.end()), breaks.end());
  return breaks;
}

bool LimbShape::face_reaches_into(const std::size_t lamination) const
{
  if (limb.section.follow_crown)
    return true; // each shares its outer part with the next
  for (const double s : pieces())
    if (present(lamination, s))
    {
      const double widest = limb.width.at(s), whole = stack(s);
      if (face_reach(limb.section.back, widest, whole) > back_face_depth(lamination, s) - outer_back_depth(s) ||
          face_reach(limb.section.belly, widest, whole) > outer_belly_depth(s) - belly_face_depth(lamination, s))
        return true;
    }
  return false;
}

double LimbShape::grain_lean(const std::size_t lamination, const double s) const
{
  if (limb.laminations[lamination].grain == GrainDirection::along_handle)
    return limb.laminations[lamination].run_out.at(s);
  const auto middle_depth = [&](const double at)
  { return whole_back_depth(lamination, at) + 0.5 * whole_thickness(lamination, at); };
  // The depths are linear or smooth in s but at kinks, where the mean of both sides is as good as either.
  constexpr double half_step = 1e-5;
  double first = start(lamination), last = end(lamination);
  for (std::size_t piece = first_piece(lamination); piece <= last_piece(lamination); ++piece)
  {
    first = std::min(first, start(piece));
    last = std::max(last, end(piece));
  }
  const double before = std::max(s - half_step, first), after = std::min(s + half_step, last);
  const double fall = (middle_depth(after) - middle_depth(before)) / (after - before);
  // d place / ds = (1 + depth curvature) t - fall n, t along the back, n toward the back.
  const double stretch = 1. + middle_depth(s) * limb.profile.lean.slope(s);
  return lean(s) + std::atan2(-fall, stretch) + limb.laminations[lamination].run_out.at(s);
}
} // namespace limbwright
