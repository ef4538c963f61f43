#include "cases/report/page/page_parts.h"

#include "cases/report/trade_figures.h"
#include "cases/report/words.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace limbwright
{
namespace
{
using Place = std::array<double, 2>; // [m] bow's frame

/// Unit normal of the back toward the archer's side at a section; upper: +1, lower: -1.
Place belly_normal(const std::vector<SectionState> &sections, std::size_t i, double sign)
{
  const auto &a = sections[i == 0 ? 0 : i - 1], &b = sections[std::min(i + 1, sections.size() - 1)];
  const double dx = b.x - a.x, dy = b.y - a.y, length = std::hypot(dx, dy);
  return length > 0. ? Place{-sign * dy / length, sign * dx / length} : Place{-1., 0.};
}

/// Place at a share of the depth (0 the back, 1 the belly) of one station, linear between sections.
Place place_at(const std::vector<SectionState> &sections, double station, double share, double sign)
{
  std::size_t i = 1;
  while (i + 1 < sections.size() && sections[i].station < station)
    ++i;
  const auto at = [&](std::size_t k)
  {
    const Place n = belly_normal(sections, k, sign);
    const double depth = share * sections[k].stack;
    return Place{sections[k].x + depth * n[0], sections[k].y + depth * n[1]};
  };
  const double length = sections[i].station - sections[i - 1].station;
  const double t = length > 0. ? (station - sections[i - 1].station) / length : 0.;
  const Place a = at(i - 1), b = at(i);
  return {a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])};
}

void add(PageJson &outline, const Place &place)
{
  outline["x"].push_back(place[0]);
  outline["y"].push_back(place[1]);
}

Place mirrored(const Place &place)
{
  return {place[0], -place[1]};
}

struct LimbOutline
{
  std::vector<Place> back, belly; //!< from the handle to the tip
  std::vector<Place> string;      //!< from the nock to where it leaves the limb
};

LimbOutline outline_of(const LimbSnapshot &limb, const LimbDescription &described, const DrawPoint &point, bool strung)
{
  const double sign = limb.limb == LimbName::upper ? 1. : -1.;
  LimbOutline outline;
  for (std::size_t i = 0; i < limb.sections.size(); ++i)
  {
    const auto &section = limb.sections[i];
    const Place n = belly_normal(limb.sections, i, sign);
    outline.back.push_back({section.x, section.y});
    outline.belly.push_back({section.x + section.stack * n[0], section.y + section.stack * n[1]});
  }
  if (!strung)
    return outline;
  outline.string.push_back(place_at(limb.sections, described.nock.station, described.nock.depth_fraction, sign));
  if (contact_length(point, limb.limb) <= 0.)
    return outline;
  const double leaves = limb.limb == LimbName::upper ? point.lift_off_station : point.lift_off_station_lower;
  for (std::size_t i = limb.sections.size(); i-- > 0;)
    if (limb.sections[i].station < described.nock.station && limb.sections[i].station > leaves)
      outline.string.push_back(outline.belly[i]);
  outline.string.push_back(place_at(limb.sections, leaves, 1., sign));
  return outline;
}

LimbOutline mirrored(const LimbOutline &outline)
{
  LimbOutline other = outline;
  for (auto *places : {&other.back, &other.belly, &other.string})
    for (Place &place : *places)
      place = mirrored(place);
  return other;
}

PageJson shape(const StoredRun &run, const Snapshot &snapshot, const std::string &name)
{
  const bool strung = snapshot.stage == "braced" || snapshot.stage == "full draw" || snapshot.stage == "drawing";
  const LimbOutline upper = outline_of(snapshot.limbs.front(), run.bow_case.bow.upper, snapshot.point, strung);
  const LimbOutline lower = snapshot.limbs.size() > 1
                                ? outline_of(snapshot.limbs[1], *run.bow_case.bow.lower, snapshot.point, strung)
                                : mirrored(upper);
  PageJson json = {{"name", name}, {"back", {{"x", PageJson::array()}, {"y", PageJson::array()}}}};
  json["belly"] = json["string"] = json["back"];
  const auto whole = [&](const char *part, const std::vector<Place> &down, const std::vector<Place> &up)
  {
    for (auto place = down.rbegin(); place != down.rend(); ++place)
      add(json[part], *place);
    for (const Place &place : up)
      add(json[part], place);
  };
  whole("back", lower.back, upper.back);
  whole("belly", lower.belly, upper.belly);
  if (strung)
  {
    for (const Place &place : lower.string)
      add(json["string"], place);
    if (snapshot.stage != "braced")
      add(json["string"], {-snapshot.point.draw, snapshot.point.nocking_height});
    for (auto place = upper.string.rbegin(); place != upper.string.rend(); ++place)
      add(json["string"], *place);
  }
  return json;
}
} // namespace

PageJson shapes_part(const StoredRun &run)
{
  PageJson shapes = PageJson::array();
  const auto &snapshots = run.results.snapshots;
  const auto add_shape = [&](const Snapshot &snapshot, const std::string &name)
  {
    if (!snapshot.limbs.empty() && snapshot.limbs.front().sections.size() > 1)
      shapes.push_back(shape(run, snapshot, name));
  };
  if (!snapshots.empty())
    add_shape(snapshots.front(), "unstrung");
  if (const auto *at_brace = braced(run.results))
  {
    add_shape(*at_brace, "braced");
    if (&snapshots.back() != at_brace)
      add_shape(snapshots.back(), run.results.complete ? "full draw" : "last draw reached");
  }
  if (run.results.let_down.complete && !run.results.let_down.snapshots.empty())
    add_shape(run.results.let_down.snapshots.back(), "unstrung again, after the draws");
  return shapes;
}
} // namespace limbwright
