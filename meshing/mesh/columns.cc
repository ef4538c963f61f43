#include "meshing/mesh/columns.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <stdexcept>

namespace limbwright
{
namespace
{
constexpr double knot_column_share = 0.125; // [1] length of a column at a knot over its size
// [1] Length of columns at the ends of a split over that at the ends of a patch of glue. It lies in wood, which may yield at a
// plateau: in columns of an eighth of the thinner piece a belly's strain gathered in one of them, twice as great as beside it,
// in columns of a quarter and of a half it was alike within half a per cent.
constexpr double split_refinement = 2.;

/// Wanted element length along the limb: the least of a base length and of lengths that grow away from sources. Growing with the
/// logarithm of the ratio per length makes elements cut from it grow by that ratio at most.
struct WantedLength
{
  struct Source
  {
    double station;
    double length;
    double reach = 0.; // on both sides, over which the length stays
  };

  double base;
  double slope;
  std::vector<Source> sources;

  double at(const double s) const
  {
    double length = base;
    for (const Source &source : sources)
      length = std::min(length, source.length + slope * std::max(0., std::abs(s - source.station) - source.reach));
    return length;
  }
};

// Cuts [from, to] into elements that each hold the same share of the integral of 1 / wanted length. Appends all but `from`.
void cut(const WantedLength &wanted, const double from, const double to, std::vector<double> &stations)
{
  // The integral, by trapezoids a fraction of the wanted length long.
  std::vector<double> s{from}, count{0.};
  while (s.back() < to)
  {
    const double here = wanted.at(s.back());
    double next = s.back() + 0.1 * here;
    if (next > to - 0.02 * here)
      next = to;
    count.push_back(count.back() + 0.5 * (next - s.back()) * (1. / here + 1. / wanted.at(next)));
    s.push_back(next);
    if (count.back() > 1e6)
      throw std::runtime_error("The mesh would have more than a million columns: ask for longer elements, or look for a "
                               "lamination that is far too thin.");
  }

  const auto n = static_cast<std::size_t>(std::max(1., std::ceil(count.back() - 1e-6)));
  std::size_t piece = 0;
  for (std::size_t i = 1; i < n; ++i)
  {
    const double share = count.back() * static_cast<double>(i) / static_cast<double>(n);
    while (count[piece + 1] < share)
      ++piece;
    stations.push_back(s[piece] + (share - count[piece]) / (count[piece + 1] - count[piece]) * (s[piece + 1] - s[piece]));
  }
  stations.push_back(to);
}

std::vector<double> cut_all(const WantedLength &wanted, const std::vector<double> &borders)
{
  std::vector<double> stations{borders.front()};
  for (std::size_t i = 0; i + 1 < borders.size(); ++i)
    cut(wanted, borders[i], borders[i + 1], stations);
  return stations;
}

double distance_to_nearest(const std::vector<double> &stations, const double s)
{
  double nearest = std::numeric_limits<double>::max();
  for (const double other : stations)
    nearest = std::min(nearest, std::abs(other - s));
  return nearest;
}

// Full thickness of the thinnest lamination that lies against this end. [m]
double thinnest_neighbour(const LimbShape &shape, const LaminationEnd &end)
{
  const double beyond = end.station + (end.toward_tip ? 0.5 : -0.5) * same_station;
  double thinnest = std::numeric_limits<double>::max();
  if (const std::size_t next = shape.next_toward_back(end.lamination, beyond); next < shape.n_laminations())
    thinnest = shape.full_thickness(next);
  for (std::size_t below = end.lamination; below-- > 0;)
    if (shape.present(below, beyond))
      return std::min(thinnest, shape.full_thickness(below));
  return thinnest;
}
// Full thickness of the thinner lamination at a glue line, a little way from s. [m]
double thinner_beside_glue(const LimbShape &shape, std::size_t line, const double s)
{
  double thinner = std::numeric_limits<double>::max();
  for (const double beside : {s - 0.5 * same_station, s + 0.5 * same_station})
    for (const std::size_t lamination : {line, shape.next_toward_back(line, beside)})
      if (lamination < shape.n_laminations() && shape.present(lamination, beside))
        thinner = std::min(thinner, shape.full_thickness(lamination));
  return thinner;
}
} // namespace

std::vector<double> column_stations(const LimbShape &shape, const MeshSettings &settings)
{
  if (!(settings.growth > 1.))
    throw std::invalid_argument("Neighboring elements need a growth ratio above 1.");
  if (settings.column_length < 0. || settings.end_refinement < 0.)
    throw std::invalid_argument("Element lengths cannot be negative.");
  for (const FineZone &zone : settings.fine_zones)
    if (!(zone.length > 0. && zone.to >= zone.from))
      throw std::invalid_argument("A fine zone needs a length of elements above zero, and an end not before its start.");
  const double root = shape.description().root_station, tip = shape.description().tip_station;

  WantedLength wanted;
  wanted.base = settings.column_length > 0. ? settings.column_length : shape.length() / 120.;
  wanted.slope = std::log(settings.growth);
  if (settings.end_refinement > 0.)
    for (const LaminationEnd &end : shape.lamination_ends())
      if (const double neighbour = thinnest_neighbour(shape, end); neighbour < std::numeric_limits<double>::max())
        wanted.sources.push_back({end.station, settings.end_refinement * neighbour});
  for (const FineZone &zone : settings.fine_zones)
    wanted.sources.push_back({0.5 * (zone.from + zone.to), zone.length, 0.5 * (zone.to - zone.from)});
  // Knots: an eighth of their size; steps of the grain's slope: some columns within the thickness.
  std::vector<double> region_ends;
  if (settings.end_refinement > 0.)
  {
    for (const Knot &knot : shape.description().weak.knots)
      wanted.sources.push_back(
          {knot.station, knot_column_share * std::min(knot.diameter, 2. * knot.half_along()), knot.half_along()});
    for (const GrainRegion &region : shape.description().weak.regions)
      for (const double s : {region.from, region.to})
        if (s > root && s < tip)
        {
          region_ends.push_back(s);
          wanted.sources.push_back({s, settings.end_refinement * shape.whole_thickness(region.lamination, s)});
        }
  }
  std::vector<double> patch_ends;
  for (std::size_t line = 0; line < shape.description().glue.size(); ++line)
    for (const GluePatch &patch : shape.description().glue[line].patches)
      for (const double s : {patch.from, patch.to})
        if (const double thinner = thinner_beside_glue(shape, line, s);
            s > root && s < tip && thinner < std::numeric_limits<double>::max())
        {
          patch_ends.push_back(s);
          if (settings.end_refinement > 0.)
            wanted.sources.push_back(
                {s, settings.end_refinement * (shape.description().glue[line].of_split ? split_refinement : 1.) * thinner});
        }

  std::vector<double> borders{root, tip};
  const auto add = [&](const double s, const double clearance)
  {
    if (s > root && s < tip && distance_to_nearest(borders, s) >= clearance)
      borders.push_back(s);
  };
  for (const LaminationEnd &end : shape.lamination_ends())
    add(end.station, 1e-9);
  add(shape.description().nock.station, same_station);
  for (const double s : patch_ends)
    add(s, same_station);
  for (const double s : region_ends)
    add(s, same_station);
  for (const Wrap &wrap : shape.description().wraps)
    for (const double s : {wrap.from, wrap.to})
      add(s, same_station);
  if (const auto &bridge = shape.description().bridge)
    add(bridge->station, same_station);
  for (const double s : shape.kinks())
    add(s, 3. * wanted.at(s));
  std::sort(borders.begin(), borders.end());

  // Borders closer together than the wanted length shorten what is wanted around them.
  for (std::size_t i = 0; i + 1 < borders.size(); ++i)
    if (const double length = borders[i + 1] - borders[i]; length < wanted.at(borders[i]))
    {
      wanted.sources.push_back({borders[i], length});
      wanted.sources.push_back({borders[i + 1], length});
    }

  // Elements are shorter than wanted by what makes their number whole, by a factor that differs from one side of a border to
  // the other: want less there until the ratio holds.
  std::vector<double> stations = cut_all(wanted, borders);
  for (int attempt = 0; attempt < 200; ++attempt)
  {
    bool graded = true;
    for (std::size_t i = 1; i + 1 < stations.size(); ++i)
    {
      const double before = stations[i] - stations[i - 1], after = stations[i + 1] - stations[i];
      const double ratio = std::max(before, after) / std::min(before, after);
      if (ratio <= settings.growth * (1. + 1e-6))
        continue;
      graded = false;
      wanted.sources.push_back({stations[i], 0.98 * wanted.at(stations[i]) * settings.growth / ratio});
    }
    if (graded)
      break;
    stations = cut_all(wanted, borders);
  }
  return stations;
}
} // namespace limbwright
