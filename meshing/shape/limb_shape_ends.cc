#include "meshing/shape/limb_shape.h"
#include "meshing/shape/told_length.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>

// The part of the shape that is settled once: where laminations end, which of them carries the datum, and what cannot be built.

namespace limbwright
{
namespace
{
// Where the table's pieces meet strictly within (from, to), the limits themselves first and last.
std::vector<double> knots_between(const StationTable &table, const double from, const double to)
{
  std::vector<double> knots{from};
  for (const double s : table.pieces())
    if (s > from && s < to)
      knots.push_back(s);
  knots.push_back(to);
  return knots;
}

// Walking from one end of a lamination to the other: the first station at which it is thicker than its feather thickness; the
// end itself where it starts thicker, or is nowhere thicker (a thin sheet, not a taper).
double feather_station(const StationTable &table, const double feather, std::vector<double> knots, const bool from_tip)
{
  if (from_tip)
    std::reverse(knots.begin(), knots.end());
  if (table.at(knots.front()) > feather)
    return knots.front();
  for (std::size_t i = 1; i < knots.size(); ++i)
    if (const double t = table.at(knots[i]); t > feather)
    {
      const double t_before = table.at(knots[i - 1]);
      if (!table.smooth)
        return knots[i - 1] + (feather - t_before) / (t - t_before) * (knots[i] - knots[i - 1]);
      // Between them the table only rises: bisection to rounding.
      double below = knots[i - 1], above = knots[i];
      for (int halving = 0; halving < 60; ++halving)
        (table.at(0.5 * (below + above)) > feather ? above : below) = 0.5 * (below + above);
      return above;
    }
  return knots.front();
}

// How layers whose thicknesses have this sum of cubes [m3] come down over an inner end, see LaminationEnd::space(). Wet glue lets
// them slide on each other.
void bridge(LaminationEnd &end, const double cubes, const double most_lift)
{
  const double bend = pressing / (2. * pressed_modulus * cubes); // [1/m3] pressing over 24 times the bending stiffness
  const double valley = std::cbrt(end.slope / (2. * bend));
  if (const double lift = end.slope > 0. ? 0.5 * valley - end.step / end.slope : 0.; lift > 0. && lift < most_lift)
  {
    end.lift = lift;
    end.pocket = valley - lift;
    return;
  }
  double shortest = 0., longest = std::pow(3. * end.step / bend, 0.25);
  for (int halving = 0; halving < 60; ++halving)
  {
    const double length = 0.5 * (shortest + longest);
    (3. * end.step / length - bend * std::pow(length, 3) > end.slope ? shortest : longest) = length;
  }
  end.pocket = longest;
}

void require_ascending(const StationTable &table, const std::string &what)
{
  if (table.station.size() != table.value.size())
    throw std::invalid_argument(what + ": the table needs one value for each position.");
  for (std::size_t i = 1; i < table.station.size(); ++i)
    if (!(table.station[i] > table.station[i - 1]))
      throw std::invalid_argument(what + ": positions must go from the handle toward the tip, but " + inches(table.station[i]) +
                                  " follows " + inches(table.station[i - 1]) + ".");
}
} // namespace

void LimbShape::cut_laminations()
{
  if (!(limb.tip_station > limb.root_station))
    throw std::invalid_argument("The limb's tip must be beyond the point where it leaves the handle.");
  if (limb.laminations.empty())
    throw std::invalid_argument("The limb has no laminations.");
  if (limb.glue.size() + 1 != limb.laminations.size())
    throw std::invalid_argument("There must be one glue line between each pair of neighboring laminations.");
  require_ascending(limb.profile.lean, "Side profile");
  require_ascending(limb.width, "Width");

  std::vector<double> fixed{limb.root_station, limb.tip_station};
  const auto snapped = [&fixed](const double s)
  {
    for (const double f : fixed)
      if (std::abs(f - s) < same_station)
        return f;
    fixed.push_back(s);
    return s;
  };
  for (const LaminationDescription &lamination : limb.laminations)
  {
    require_ascending(lamination.thickness, "Thickness of " + lamination.name);
    require_ascending(lamination.run_out, "Run-out of " + lamination.name);
    double from = std::max(lamination.start, limb.root_station);
    double to = std::min(lamination.end, limb.tip_station);
    if (!(to - from > 2. * same_station))
      throw std::invalid_argument("Lamination " + lamination.name + " lies outside the limb, which runs from " +
                                  inches(limb.root_station) + " to " + inches(limb.tip_station) + ".");
    const std::vector<double> knots = knots_between(lamination.thickness, from, to);
    if (from > limb.root_station)
      from = feather_station(lamination.thickness, lamination.feather, knots, false);
    if (to < limb.tip_station)
      to = feather_station(lamination.thickness, lamination.feather, knots, true);
    extents.push_back({snapped(from), snapped(to)});
    if (!(extents.back()[1] > extents.back()[0]))
      throw std::invalid_argument("Lamination " + lamination.name + " is thicker than its feather only at " + inches(from) +
                                  ": nothing of it would be left.");
  }

  // The outermost lamination that runs the whole limb carries the stations and the side profile.
  datum = limb.laminations.size();
  for (std::size_t i = 0; i < limb.laminations.size(); ++i)
    if ((start(i) <= limb.root_station && end(i) >= limb.tip_station) || (limb.laminations[i].split_off && datum + 1 == i))
      datum = i; // a piece that comes out at the back leaves the other one as its back
  if (datum == limb.laminations.size())
    throw std::invalid_argument("At least one lamination must run the whole limb, from the handle to the tip.");
}

namespace
{
// Height over the bed at a share [1] of a valley's span [m] between a slope and the flat: an elastic strip under even pressure,
// supported at both ends.
double height_over_bed(const double slope, const double span, const double share)
{
  return 0.5 * slope * span * share * share * share * (2. - share);
}
} // namespace

double LaminationEnd::space(const double beyond) const
{
  if (lift > 0.)
    return height_over_bed(slope, lift + pocket, (pocket - beyond) / (lift + pocket));
  const double u = 1. - beyond / pocket;
  return u * u * u * (step + (3. * step - slope * pocket) * (1. - u));
}

double LaminationEnd::space_before(const double before) const
{
  return height_over_bed(slope, lift + pocket, (lift - before) / (lift + pocket));
}

void LimbShape::find_ends()
{
  for (std::size_t i = 0; i < n_laminations(); ++i)
    for (const bool toward_tip : {false, true})
    {
      LaminationEnd e;
      e.lamination = i;
      e.toward_tip = toward_tip;
      e.station = extents[i][toward_tip ? 1 : 0];
      if (e.station == (toward_tip ? limb.tip_station : limb.root_station))
        continue;
      e.thickness = thickness(i, e.station);

      // Distinct ends are at least same_station apart, so half of it beyond the end shows who goes on.
      const double beyond = e.station + (toward_tip ? 0.5 : -0.5) * same_station;
      bool on_belly = false;
      for (std::size_t j = 0; j < i; ++j)
        on_belly = on_belly || present(j, beyond);
      e.inner = on_belly && next_toward_back(i, beyond) < n_laminations();
      if (e.inner)
      {
        e.step = e.thickness + limb.glue[i].thickness;
        constexpr double aside = 1e-6; // [m]
        e.slope = std::max(0., (thickness(i, e.station - (toward_tip ? aside : -aside)) - e.thickness) / aside);
        // The side that does not lie with the datum comes down.
        double cubes = 0.;
        for (std::size_t j = i < datum ? 0 : i + 1; j < (i < datum ? i : n_laminations()); ++j)
          cubes += std::pow(thickness(j, beyond), 3);
        bridge(e, cubes, 0.5 * (end(i) - start(i)));
      }
      ends.push_back(e);
    }
}

std::vector<double> LimbShape::kinks() const
{
  return borders([](const StationTable &table) { return table.smooth ? std::vector<double>{} : table.station; });
}

std::vector<double> LimbShape::pieces() const
{
  return borders([](const StationTable &table) { return table.pieces(); });
}

std::vector<double> LimbShape::borders(const std::function<std::vector<double>(const StationTable &)> &of_table) const
{
  std::vector<double> all;
  const auto add = [&](const StationTable &table)
  {
    const std::vector<double> stations = of_table(table);
    all.insert(all.end(), stations.begin(), stations.end());
  };
  add(limb.profile.lean);
  add(limb.width);
  for (const LaminationDescription &lamination : limb.laminations)
    add(lamination.thickness);
  for (const LaminationEnd &e : ends)
  {
    const double outward = e.toward_tip ? 1. : -1.;
    all.push_back(e.station - outward * limb.laminations[e.lamination].bevel);
  }
  std::sort(all.begin(), all.end());

  // Where two nearly coincide an end or the limb's own end is the one that counts.
  std::vector<double> kept{limb.root_station, limb.tip_station};
  for (const LaminationEnd &e : ends)
    kept.push_back(e.station);
  std::sort(kept.begin(), kept.end());
  kept.erase(std::unique(kept.begin(), kept.end()), kept.end());
  for (const double s : all)
    if (s > limb.root_station && s < limb.tip_station)
    {
      const auto next = std::lower_bound(kept.begin(), kept.end(), s);
      if (*next - s >= same_station && s - *std::prev(next) >= same_station)
        kept.insert(next, s);
    }
  return kept;
}

void LimbShape::check() const
{
  for (const GlueLineDescription &line : limb.glue)
  {
    if (line.thickness < 0.)
      throw std::invalid_argument("A glue line cannot be thinner than nothing.");
    for (const GluePatch &patch : line.patches)
    {
      const std::string which = "The patch of glue from " + inches(patch.from) + " to " + inches(patch.to);
      if (!(patch.to - patch.from > same_station))
        throw std::invalid_argument(which + " has no length.");
      if (patch.from < limb.root_station - same_station || patch.to > limb.tip_station + same_station)
        throw std::invalid_argument(which + " is not within the limb.");
      if (!(patch.strength >= 0. && patch.strength <= 1.))
        throw std::invalid_argument(which + " can have from none to all of the line's strength.");
      if (!(patch.gap >= 0. && patch.gap < 0.1 * (patch.to - patch.from)))
        throw std::invalid_argument(which + " has a gap of more than a tenth of its length, or less than none.");
      for (const GluePatch &other : line.patches)
        if (&other != &patch && other.from < patch.to && patch.from < other.to)
          throw std::invalid_argument(which + " overlaps another one of the same glue line.");
    }
  }
  const std::vector<double> stations = pieces();
  for (const double s : stations)
  {
    if (!(limb.width.at(s) > 0.))
      throw std::invalid_argument("The limb has no width at " + inches(s) + ".");
    for (std::size_t i = 0; i < n_laminations(); ++i)
      if (present(i, s) && !(thickness(i, s) > 0.))
        throw std::invalid_argument("Lamination " + limb.laminations[i].name + " has no thickness at " + inches(s) +
                                    ": end it before there, or give it a feather thickness.");
    for (const double depth : {outer_back_depth(s), outer_belly_depth(s)})
      for (const double side : {-0.5 * same_station, 0.})
        if (!(1. + depth * limb.profile.lean.slope(s + side) > 0.))
          throw std::invalid_argument("At " + inches(s) + " the side profile bends more tightly than the limb is thick.");
  }
  if (!(limb.section.back_width_factor > 0.) || !(limb.section.belly_width_factor > 0.))
    throw std::invalid_argument("The section's width factors at belly and back must be positive.");
  for (const FaceShape &face : {limb.section.belly, limb.section.back})
    for (const double s : stations)
      if (const auto *const arc = std::get_if<ArcFace>(&face))
      {
        if ((arc->radius > 0.) == (arc->rise > 0.))
          throw std::invalid_argument("Give an arc across the limb by its radius or by its rise, not both.");
        if (arc->radius > 0. && arc->radius < 0.5 * limb.width.at(s))
          throw std::invalid_argument("The arc across the limb has a radius of " + inches(arc->radius) + ", but " + inches(s) +
                                      " from center the limb is " + inches(limb.width.at(s)) + " wide, more than twice that.");
      }
      else if (const auto *const trapped = std::get_if<TrappedFace>(&face); trapped && !(trapped->width_share > 0.))
        throw std::invalid_argument("A trapped face needs some width.");
}
} // namespace limbwright
