#include "meshing/shape/splits.h"

#include "meshing/shape/limb_shape.h"
#include "meshing/shape/told_length.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <stdexcept>
#include <string>

namespace limbwright
{
namespace
{
// Length over which the piece beside a splinter takes the whole thickness again, past the splinter's square end. [m]
constexpr double step_length = 1e-6;

// Of the rows of a piece of a smooth lamination. [m] By test the pieces' sum is within a micrometre of the whole.
constexpr double row_spacing = 0.2 * 0.0254;

struct Stretch
{
  double from, to;
  bool meets(double a, double b) const { return a < to - same_station && from < b - same_station; }
};

Stretch stretch_of(const LimbDescription &limb, const LaminationDescription &lamination)
{
  return {std::max(lamination.start, limb.root_station), std::min(lamination.end, limb.tip_station)};
}

double thickness_at(const LimbDescription &limb, std::size_t piece, double s)
{
  const auto [from, to] = stretch_of(limb, limb.laminations[piece]);
  return s < from - same_station || s > to + same_station ? 0. : limb.laminations[piece].thickness.at(s);
}

std::size_t last_piece(const LimbDescription &limb, std::size_t piece)
{
  while (piece + 1 < limb.laminations.size() && limb.laminations[piece + 1].split_off)
    ++piece;
  return piece;
}

// One division of one piece. `outer` is the thickness of the piece on the side of the face that the split is told from.
class Division
{
public:
  Division(const LimbDescription &limb, const Split &split);
  void make(LimbDescription &limb) const;

private:
  const Split &split;
  double from, to;
  std::size_t piece = 0;
  double at_from = 0., at_to = 0.; // [m] of the outer piece
  Stretch all{0., 0.};             // of the piece that is divided
  double cut = 0.;                 // [m] station where the outer piece of a splinter ends
  std::vector<double> stations;

  bool out() const { return split.comes_out != SplitExit::none; }
  bool belly() const { return split.comes_out == SplitExit::belly; }
  double outer(const LaminationDescription &whole, double s) const;
  void find_piece(const LimbDescription &limb);
  void check_room(const LimbDescription &limb) const;
  void check_slant(const LimbDescription &limb) const;
};

Division::Division(const LimbDescription &limb, const Split &the_split)
    : split(the_split), from(the_split.patch.from), to(the_split.patch.to)
{
  find_piece(limb);
  const LaminationDescription &whole = limb.laminations[piece];
  all = stretch_of(limb, whole);
  stations = {all.from, from, to, all.to};
  for (const double s : whole.thickness.station)
    if (s > all.from && s < all.to)
      stations.push_back(s);
  // Pieces of a smooth lamination are smooth tables of their own, with rows so dense that together they are it.
  const auto n_rows = static_cast<int>(std::ceil((all.to - all.from) / row_spacing));
  for (int i = 1; whole.thickness.smooth && i < n_rows; ++i)
  {
    const double s = all.from + (all.to - all.from) * i / n_rows;
    if (std::none_of(stations.begin(), stations.end(), [s](double other) { return std::abs(other - s) < same_station; }))
      stations.push_back(s);
  }
  std::sort(stations.begin(), stations.end());
  stations.erase(std::unique(stations.begin(), stations.end(), [](double a, double b) { return b - a < 1e-9; }), stations.end());
  if (out())
  {
    const double inner_end = split.toward_tip ? at_from : at_to;
    if (!(inner_end > 2. * whole.feather))
      throw std::invalid_argument("The splinter would be thinner than twice the feather thickness at its root.");
    const double share = (inner_end - whole.feather) / inner_end;
    cut = split.toward_tip ? from + share * (to - from) : to - share * (to - from);
  }
  check_room(limb);
  check_slant(limb);
}

// At a constant share of the thickness beyond the split's ends.
double Division::outer(const LaminationDescription &whole, const double s) const
{
  if (s <= from)
    return at_from * whole.thickness.at(s) / whole.thickness.at(from);
  if (s >= to)
    return at_to * whole.thickness.at(s) / whole.thickness.at(to);
  return at_from + (s - from) / (to - from) * (at_to - at_from);
}

void Division::find_piece(const LimbDescription &limb)
{
  const std::size_t last = last_piece(limb, split.lamination);
  double whole_from = 0., whole_to = 0.;
  for (std::size_t i = split.lamination; i <= last; ++i)
  {
    whole_from += thickness_at(limb, i, from);
    whole_to += thickness_at(limb, i, to);
  }
  // Depths of the split at its ends, below the lamination's back face.
  double depth_from = split.depth, depth_to = split.depth;
  if (split.comes_out == SplitExit::none)
  {
    const double fall = 0.5 * std::tan(split.slope) * (to - from);
    depth_from += fall;
    depth_to -= fall;
  }
  else
    (split.toward_tip ? depth_to : depth_from) = belly() ? (split.toward_tip ? whole_to : whole_from) : 0.;
  constexpr double slack = 1e-9;
  double back_from = 0., back_to = 0.; // of the piece
  for (std::size_t i = last + 1; i-- > split.lamination;)
  {
    const double t_from = thickness_at(limb, i, from), t_to = thickness_at(limb, i, to);
    if (depth_from >= back_from - slack && depth_from <= back_from + t_from + slack && depth_to >= back_to - slack &&
        depth_to <= back_to + t_to + slack && t_from > 0. && t_to > 0.)
    {
      piece = i;
      at_from = belly() ? back_from + t_from - depth_from : depth_from - back_from;
      at_to = belly() ? back_to + t_to - depth_to : depth_to - back_to;
      if (out())
        (split.toward_tip ? at_to : at_from) = 0.;
      return;
    }
    back_from += t_from;
    back_to += t_to;
  }
  if (last > split.lamination)
    throw std::invalid_argument("The split crosses another one in the same lamination, or is not inside it.");
  throw std::invalid_argument("The split is not inside its lamination, which is " + inches(whole_from) + " thick at " +
                              inches(from) + " and " + inches(whole_to) + " at " + inches(to) + "; it would be " +
                              inches(depth_from) + " and " + inches(depth_to) + " below its back face there.");
}

void Division::check_room(const LimbDescription &limb) const
{
  const LaminationDescription &whole = limb.laminations[piece];
  if (whole.bevel > 0.)
    throw std::invalid_argument("A lamination with a beveled end cannot hold a split.");
  for (const double s : stations)
  {
    const double thin = outer(whole, s), rest = whole.thickness.at(s) - thin;
    const bool behind_exit = out() && (split.toward_tip ? s > cut : s < cut);
    if (rest <= whole.feather || (thin <= whole.feather && !behind_exit))
      throw std::invalid_argument(
          "The split, or its line continued at the same fraction of the thickness, comes within the feather thickness of a face "
          "at " +
          inches(s) +
          "; a lamination that tapers to nothing cannot hold one. For a split that comes out at a face, use comes_out.");
  }
  if (!out())
    return;
  const double begin = split.toward_tip ? cut : all.from, end = split.toward_tip ? all.to : cut;
  for (std::size_t i = 0; i < limb.laminations.size(); ++i)
    if (const Stretch other = stretch_of(limb, limb.laminations[i]); (belly() ? i < piece : i > piece) && other.meets(begin, end))
      throw std::invalid_argument("The splinter cannot come out: " + limb.laminations[i].name +
                                  " covers that face, there or farther on.");
}

// At an edge a piece is thinner than in the middle by what the plane falls over half the width; beyond the split's ends in
// proportion to the thickness.
void Division::check_slant(const LimbDescription &limb) const
{
  if (split.slant == 0.)
    return;
  if (out())
    throw std::invalid_argument("A split that comes out at a face cannot slant across the width.");
  const LaminationDescription &whole = limb.laminations[piece];
  std::vector<double> looked_at = stations;
  for (const double s : limb.width.station)
    if (s > all.from && s < all.to)
      looked_at.push_back(s);
  double steepest = std::numeric_limits<double>::infinity(), narrow = 0.; // [1]; [m] station
  for (const double s : looked_at)
  {
    const double within = std::clamp(s, from, to), upper = outer(whole, s), t = whole.thickness.at(s);
    const double half = 0.5 * limb.width.at(within) * t / whole.thickness.at(within);
    if (const double room = (std::min(upper, t - upper) - whole.feather) / half; room < steepest)
    {
      steepest = room;
      narrow = s;
    }
  }
  if (std::tan(std::abs(split.slant)) > steepest)
  {
    char degrees[32];
    std::snprintf(degrees, sizeof degrees, "%.3g deg", std::atan(steepest) * 180. / M_PI);
    throw std::invalid_argument("The split slants so steeply that at an edge of the limb it would come within the feather "
                                "thickness of a face of its lamination, at " +
                                inches(narrow) + "; there is room for " + degrees +
                                ": a smaller slant, or a depth nearer the middle of the lamination.");
  }
}

void Division::make(LimbDescription &limb) const
{
  LaminationDescription upper = limb.laminations[piece], lower = upper;
  const LaminationDescription whole = upper;
  upper.split_off = true;
  LaminationDescription &thin = belly() ? lower : upper, &rest = belly() ? upper : lower;
  thin.thickness = rest.thickness = StationTable{{}, {}, whole.thickness.smooth};
  std::vector<double> at = stations;
  if (out())
  {
    // The step at its end would bend a smooth table up to the next rows: those come close.
    std::vector<double> of_step{cut, cut + (split.toward_tip ? step_length : -step_length)};
    if (whole.thickness.smooth)
      of_step.insert(of_step.end(), {cut - same_station, cut + same_station});
    for (const double s : of_step)
    {
      std::erase_if(at, [s](double other) { return std::abs(other - s) < 1e-9; });
      at.insert(std::lower_bound(at.begin(), at.end(), s), s);
    }
  }
  for (const double s : at)
  {
    const bool beyond = out() && (split.toward_tip ? s > cut : s < cut);
    const double t = whole.thickness.at(s), of_thin = beyond ? 0. : out() && s == cut ? whole.feather : outer(whole, s);
    if (!beyond)
    {
      thin.thickness.station.push_back(s);
      thin.thickness.value.push_back(of_thin);
    }
    rest.thickness.station.push_back(s);
    rest.thickness.value.push_back(t - of_thin);
  }
  GlueLineDescription line;
  line.bond_stiffness = whole_wood_stiffness;
  line.of_split = true;
  line.slant = split.slant;
  line.patches = {split.patch};
  if (out())
  {
    (split.toward_tip ? thin.end : thin.start) = cut;
    (split.toward_tip ? line.patches[0].to : line.patches[0].from) = cut;
  }
  const auto index = static_cast<std::ptrdiff_t>(piece);
  limb.laminations[piece] = lower;
  limb.laminations.insert(limb.laminations.begin() + index + 1, upper);
  limb.glue.insert(limb.glue.begin() + index, line);
  for (Knot &knot : limb.weak.knots)
    knot.lamination += knot.lamination > split.lamination ? 1 : 0;
  for (GrainRegion &region : limb.weak.regions)
    region.lamination += region.lamination > split.lamination ? 1 : 0;
}

void name_pieces(LimbDescription &limb)
{
  for (std::size_t first = 0; first < limb.laminations.size(); first = last_piece(limb, first) + 1)
  {
    const std::size_t last = last_piece(limb, first), n = last - first + 1;
    for (std::size_t i = first; n > 1 && i <= last; ++i)
      limb.laminations[i].name += n > 2        ? ", piece " + std::to_string(i - first + 1) + " of " + std::to_string(n)
                                  : i == first ? ", under the split"
                                               : ", over the split";
  }
}
} // namespace

LimbDescription divided(LimbDescription limb, std::vector<Split> splits)
{
  if (splits.empty())
    return limb;
  // From the back to the belly: indices below stay.
  std::stable_sort(splits.begin(), splits.end(), [](const Split &a, const Split &b) { return a.lamination > b.lamination; });
  for (const Split &split : splits)
  {
    const LaminationDescription &lamination = limb.laminations.at(split.lamination);
    const Stretch all = stretch_of(limb, lamination);
    const double from = split.patch.from, to = split.patch.to;
    if (!(to - from > same_station))
      throw std::invalid_argument("The split must end closer to the tip than it begins.");
    if (std::any_of(splits.begin(), splits.end(),
                    [&](const Split &other) {
                      return &other != &split && other.lamination == split.lamination && (split.slant != 0. || other.slant != 0.);
                    }))
      throw std::invalid_argument("A lamination with a split that slants across the width cannot hold another one.");
    if (from < all.from - same_station || to > all.to + same_station)
      throw std::invalid_argument("The split is not inside its lamination, which runs from " + inches(all.from) + " to " +
                                  inches(all.to) + ".");
    Division(limb, split).make(limb);
  }
  name_pieces(limb);
  return limb;
}

bool lifts_splinter(const LimbDescription &limb, const std::size_t line)
{
  const LaminationDescription &belly = limb.laminations[line], &back = limb.laminations[line + 1];
  return limb.glue[line].of_split && (belly.start != back.start || belly.end != back.end);
}
} // namespace limbwright
