#include "cases/reader/checks_of_sense.h"

#include "meshing/shape/limb_shape.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>
#include <vector>

namespace limbwright
{
namespace
{
constexpr double inch = 0.0254;      // exact
constexpr double whole_slack = 1e-6; // [m] stations this close are the same

std::string inches(double metres)
{
  return fmt::format("{:.4g} in", metres / inch);
}

bool present(const LaminationDescription &lamination, double s)
{
  return s >= lamination.start - whole_slack && s <= lamination.end + whole_slack &&
         lamination.thickness.at(s) >= lamination.feather;
}

/// Stations of every table and end, between root and tip; those that could not be read (NaN) are left out.
std::vector<double> knots(const LimbDescription &limb)
{
  std::vector<double> list = {limb.root_station, limb.tip_station};
  const auto add = [&list](const StationTable &table) { list.insert(list.end(), table.station.begin(), table.station.end()); };
  add(limb.width);
  add(limb.profile.lean);
  for (const LaminationDescription &lamination : limb.laminations)
  {
    add(lamination.thickness);
    list.push_back(lamination.start);
    list.push_back(lamination.end);
  }
  std::erase_if(list, [&limb](double s) { return !(s >= limb.root_station && s <= limb.tip_station); });
  std::sort(list.begin(), list.end());
  list.erase(std::unique(list.begin(), list.end()), list.end());
  return list;
}

/// Rows of a table against the limb: none beyond its end, and all of it covered.
void check_rows(const TomlView &parent, const std::string &name, double begin, double end, double tip)
{
  const auto view = parent.find(name);
  if (!view || !view->node().is_table())
    return;
  const auto rows = view->find("rows");
  const auto head = view->find("s");
  if (!rows || !head)
    return;
  const Quantity unit = parse_unit(head->node().value<std::string>().value_or(""), Dimension::length);
  const auto entries = rows->entries();
  if (!unit.error.empty() || entries.empty())
    return;
  double first = not_given, last = not_given;
  for (const TomlView &row : entries)
  {
    const auto cells = row.entries();
    const auto station = cells.empty() ? std::nullopt : cells.front().node().value<double>();
    if (!station)
      return;
    last = *station * unit.value;
    if (std::isnan(first))
      first = last;
    if (last > tip + whole_slack)
    {
      row.error(fmt::format(
          "{} from center is beyond the limb's tip at {}; distances run along the back from center (the middle of the handle)",
          inches(last), inches(tip)));
      return;
    }
  }
  constexpr double much = 0.5 * inch;
  if (entries.size() > 1 && (first > begin + much || last < end - much))
    view->warning(fmt::format(
        "the table covers {} to {} from center, the limb runs from {} to {}; beyond the table the end values are used",
        inches(first), inches(last), inches(begin), inches(end)));
}

void check_ends(const TomlView &view, const LaminationDescription &lamination, double root, double tip)
{
  const auto complain = [&view](const char *key, std::string message)
  { view.complaints().error(view.place_of(key), std::move(message)); };
  if (lamination.start >= tip)
    complain("start", fmt::format("starts at {}, at or beyond the limb's tip at {}", inches(lamination.start), inches(tip)));
  else if (lamination.end > tip + whole_slack)
    complain("end",
             fmt::format("ends at {}, beyond the limb's tip at {}; write end = \"tip\"", inches(lamination.end), inches(tip)));
  else if (lamination.end <= root)
    complain("end",
             fmt::format("ends at {}, inside the stiff handle, which reaches to {}", inches(lamination.end), inches(root)));
  else if (lamination.start >= lamination.end)
    complain("end", fmt::format("ends at {}, at or before its start at {}", inches(lamination.end), inches(lamination.start)));
  else if (lamination.bevel > lamination.end - std::max(lamination.start, root))
    complain("bevel", "the bevel is longer than the lamination");
}

/// An end inside the stack must thin out: its neighbours cannot step over a thick square end, and would not meet.
void check_inner_ends(const TomlView &view, const LimbDescription &limb, std::size_t index)
{
  const LaminationDescription &lamination = limb.laminations[index];
  const auto covered = [&limb](std::size_t first, std::size_t last, double s)
  {
    for (std::size_t i = first; i < last; ++i)
      if (present(limb.laminations[i], s))
        return true;
    return false;
  };
  const double most = std::max(4. * lamination.feather, 0.5e-3);
  for (const bool is_start : {true, false})
  {
    const double end = is_start ? lamination.start : lamination.end;
    const bool inside_limb = is_start ? end > limb.root_station + whole_slack : end < limb.tip_station - whole_slack;
    const double thickness = lamination.thickness.at(end);
    const bool between = covered(0, index, end) && covered(index + 1, limb.laminations.size(), end);
    if (inside_limb && between && lamination.bevel == 0. && thickness > most)
      view.complaints().error(view.place_of(is_start ? "start" : "end"),
                              fmt::format("is still {} thick where it ends inside the stack, so its neighbors would not meet; "
                                          "taper it to nothing there, or give a bevel",
                                          inches(thickness)));
  }
}

void check_whole_limb(const TomlView &view, const LimbDescription &limb)
{
  const std::vector<double> stations = knots(limb);
  for (const LaminationDescription &lamination : limb.laminations)
    if (std::all_of(stations.begin(), stations.end(), [&](double s) { return present(lamination, s); }))
      return;
  const auto bare = std::find_if(stations.begin(), stations.end(),
                                 [&limb](double s)
                                 {
                                   return std::none_of(limb.laminations.begin(), limb.laminations.end(),
                                                       [s](const LaminationDescription &l) { return present(l, s); });
                                 });
  const std::string gap =
      bare == stations.end() ? "" : fmt::format("; {} from center there is no lamination at all", inches(*bare));
  view.complaints().error(view.place_of("lamination"),
                          "no lamination runs the whole limb from the handle to the tip, thicker than its feather everywhere" +
                              gap);
}

/// A face that bends about a centre inside the stack would fold over itself.
void check_curvature(const TomlView &view, const LimbDescription &limb)
{
  const StationTable &lean = limb.profile.lean;
  std::size_t datum = limb.laminations.size();
  const std::vector<double> stations = knots(limb);
  for (std::size_t i = 0; i < limb.laminations.size(); ++i)
    if (std::all_of(stations.begin(), stations.end(), [&](double s) { return present(limb.laminations[i], s); }))
      datum = i;
  for (std::size_t k = 0; k + 1 < lean.station.size(); ++k)
  {
    const double curvature = (lean.value[k + 1] - lean.value[k]) / (lean.station[k + 1] - lean.station[k]);
    for (const double s : {lean.station[k], lean.station[k + 1]})
    {
      if (s < limb.root_station - whole_slack || s > limb.tip_station + whole_slack)
        continue;
      double below = 0., above = 0.;
      for (std::size_t i = 0; i < limb.laminations.size(); ++i)
        (i <= datum ? below : above) += present(limb.laminations[i], s) ? limb.laminations[i].thickness.at(s) : 0.;
      const double depth = curvature < 0. ? below : above;
      if (depth * std::abs(curvature) > 0.8)
      {
        view.complaints().error(view.place_of("profile"),
                                fmt::format("near {} from center the back bends to a radius of {}, but the limb is {} thick on "
                                            "the inside of the bend; no layer can follow that: check the rows",
                                            inches(s), inches(1. / std::abs(curvature)), inches(depth)));
        return;
      }
    }
  }
}

/// A lamination that goes on must have some thickness: only an end that is stated is cut at the feather thickness.
void check_thickness(const TomlView &view, const LimbDescription &limb, const LaminationDescription &lamination)
{
  const double begin = std::max(lamination.start, limb.root_station), end = std::min(lamination.end, limb.tip_station);
  const auto nothing = [&lamination](double s) { return !(lamination.thickness.at(s) > 0.); };
  std::vector<double> stations{begin, end};
  for (const double s : lamination.thickness.station)
    if (s > begin && s < end)
      stations.push_back(s);
  std::sort(stations.begin(), stations.end());
  // What is cut off at ends that are stated.
  auto first = stations.begin(), last = stations.end() - 1;
  if (begin > limb.root_station)
    while (first != last && nothing(*first))
      ++first;
  if (end < limb.tip_station)
    while (last != first && nothing(*last))
      --last;
  const auto found = std::find_if(first, last + 1, nothing);
  if (found == last + 1)
    return;
  const char *key = view.find("thickness") ? "thickness" : "taper";
  const auto complain = [&](const std::string &remedy)
  {
    view.complaints().error(view.place_of(key),
                            fmt::format("tapers to nothing at {} from center, but the lamination runs from {} to {}; {}",
                                        inches(*found), inches(begin), inches(end), remedy));
  };
  const bool at_tip = found == last || std::all_of(found, last + 1, nothing);
  if (at_tip && *found < limb.tip_station - whole_slack)
    complain(fmt::format("write end = \"{}\"", inches(*found)));
  else if (at_tip)
    complain("end it before the limb's tip, or leave some thickness there");
  else if (found == first)
    complain("set start to where it begins, or give it some thickness there");
  else
    complain("write it as two laminations, each with start and end, or give it some thickness there");
}

/// An arc of a circle over the whole width cannot be tighter than half the width.
void check_arcs(const TomlView &view, const LimbDescription &limb)
{
  for (const FaceShape &face : {limb.section.back, limb.section.belly})
    if (const auto *arc = std::get_if<ArcFace>(&face); arc != nullptr && arc->radius > 0.)
      for (const double s : knots(limb))
        if (arc->radius < 0.5 * limb.width.at(s))
        {
          const TomlView section = *view.find("section");
          section.complaints().error(
              section.place_of("radius"),
              fmt::format("an arc of radius {} cannot span the limb, which is {} wide at {} from center. The radius must be at "
                          "least half the width, {}; write a larger one, or use rise instead",
                          inches(arc->radius), inches(limb.width.at(s)), inches(s), inches(0.5 * limb.width.at(s))));
          return;
        }
}

double stack(const LimbDescription &limb, double s)
{
  double sum = 0.;
  for (const LaminationDescription &lamination : limb.laminations)
    sum += present(lamination, s) ? lamination.thickness.at(s) : 0.;
  return sum;
}

void check_string_on_limb(const TomlView &view, const LimbDescription &limb)
{
  const double nock = limb.nock.station;
  if (limb.bridge && !std::isnan(limb.bridge->station) &&
      (limb.bridge->station <= limb.root_station || limb.bridge->station >= nock))
  {
    const TomlView bridge = *view.find("bridge");
    bridge.complaints().error(bridge.place_of("station"),
                              fmt::format("the bridge stands at {} from center, not on the limb before its nock, {} to {}",
                                          inches(limb.bridge->station), inches(limb.root_station), inches(nock)));
  }
  if (limb.nock.groove_length >= nock - limb.root_station)
  {
    const TomlView grooved = *view.find("nock");
    grooved.complaints().error(grooved.place_of("groove"),
                               fmt::format("is longer than the limb, {}", inches(nock - limb.root_station)));
  }
}
} // namespace

void check_limb(const TomlView &view, const LimbDescription &limb)
{
  const double root = limb.root_station, tip = limb.tip_station;
  if (std::isnan(root) || std::isnan(tip))
    return;
  if (root >= limb.nock.station - whole_slack)
  {
    view.error(fmt::format("the stiff handle reaches to {} from center and the string nock is at {}: nothing is left to bend",
                           inches(root), inches(limb.nock.station)));
    return;
  }
  check_string_on_limb(view, limb);
  check_rows(view, "width", root, tip, tip);
  check_rows(view, "profile", root, tip, tip);
  const auto entries = view.find("lamination");
  const std::vector<TomlView> views = entries ? entries->entries() : std::vector<TomlView>{};
  bool whole = !limb.laminations.empty();
  for (std::size_t i = 0; i < limb.laminations.size(); ++i)
  {
    const LaminationDescription &lamination = limb.laminations[i];
    if (std::isnan(lamination.start) || std::isnan(lamination.end) || lamination.thickness.empty())
    {
      whole = false;
      continue;
    }
    const std::size_t errors_before = views[i].complaints().n_errors();
    check_ends(views[i], lamination, root, tip);
    check_rows(views[i], "thickness", std::max(root, lamination.start), std::min(tip, lamination.end), tip);
    check_rows(views[i], "run_out", std::max(root, lamination.start), std::min(tip, lamination.end), tip);
    check_inner_ends(views[i], limb, i);
    const std::vector<double> stations = knots(limb);
    if (std::none_of(stations.begin(), stations.end(), [&](double s) { return present(lamination, s); }))
      views[i].error("is nowhere thicker than its feather, so nothing of it would be left");
    else if (views[i].complaints().n_errors() == errors_before)
      check_thickness(views[i], limb, lamination);
  }
  if (!whole)
    return;
  check_whole_limb(view, limb);
  check_curvature(view, limb);
  if (limb.width.empty())
    return;
  check_arcs(view, limb);
  // A block that keeps the handle's grain is a riser: deep on purpose, and stiff.
  const auto in_riser = [&limb](double s)
  {
    return std::any_of(limb.laminations.begin(), limb.laminations.end(),
                       [s](const LaminationDescription &l) { return l.grain == GrainDirection::along_handle && present(l, s); });
  };
  for (const double s : knots(limb))
    if (stack(limb, s) > 1.3 * limb.width.at(s) && !in_riser(s)) // square tips are common
    {
      view.complaints().warning(view.place_of("width"), fmt::format("at {} from center the limb is thicker ({}) than wide ({}); "
                                                                    "it may bend sideways, which the side view does not show",
                                                                    inches(s), inches(stack(limb, s)), inches(limb.width.at(s))));
      break;
    }
}

void check_shape(const TomlView &view, const LimbDescription &limb)
{
  try
  {
    const LimbShape shape(limb);
  }
  catch (const std::invalid_argument &unfit)
  {
    view.error(unfit.what());
  }
}

void check_draw(const TomlView &document, const TomlView &limb_view, const BowDescription &bow, const LimbDescription &limb)
{
  const TomlView view = document.find("bow").value_or(document);
  if (!std::isnan(bow.brace_height) && !std::isnan(bow.full_draw) && bow.full_draw <= bow.brace_height)
    view.complaints().error(view.place_of("draw_length"),
                            fmt::format("full draw is {} from the throat of the grip (convention offset taken off), which is not "
                                        "beyond the braced string at {}",
                                        inches(bow.full_draw), inches(bow.brace_height)));
  const double length = limb.tip_station - limb.root_station;
  if (std::isnan(length) || length <= 0. || std::isnan(limb.root_back_x) || std::isnan(limb.root_back_y))
    return;
  if (!std::isnan(bow.brace_height) && bow.brace_height + limb.root_back_x >= 0.7 * length)
    view.complaints().error(
        view.place_of("brace_height"),
        fmt::format("{} is too high: the working limb is {} long, and the string would sit {} behind where the limb starts",
                    inches(bow.brace_height), inches(length), inches(bow.brace_height + limb.root_back_x)));
  // The string cannot be longer than from tip to tip of limbs laid out straight, and the limb and it at most lie in one line.
  const double half_string = limb.root_back_y + length;
  if (!std::isnan(bow.full_draw) &&
      std::hypot(limb.root_back_x + bow.full_draw, limb.root_back_y) >= 0.9 * (length + half_string))
    view.complaints().error(view.place_of("draw_length"), "is longer than the limbs and string can reach");
  if (limb.profile.lean.empty() || std::isnan(bow.brace_height))
    return;
  constexpr int n_steps = 400;
  double tip_x = limb.root_back_x;
  for (int i = 0; i < n_steps; ++i)
    tip_x += std::sin(limb.profile.lean.at(limb.root_station + (i + 0.5) * length / n_steps)) * length / n_steps;
  if (tip_x <= -bow.brace_height)
    limb_view.complaints().error(limb_view.place_of("profile"),
                                 fmt::format("the unstrung tips are already {} behind the throat of the grip, past the brace "
                                             "height of {}: the string would hang slack",
                                             inches(-tip_x), inches(bow.brace_height)));
}
} // namespace limbwright
