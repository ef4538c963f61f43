#include "cases/report/page/page_parts.h"

#include "cases/report/words.h"
#include "meshing/shape/limb_shape.h"

#include <algorithm>
#include <cmath>

namespace limbwright
{
namespace
{
constexpr double close_up_reach = 0.0254; // [m] of the limb to either side of a hot spot

/// The face state nearest to a station; null where the layer has none on that face.
const FaceState *nearest_face(const LimbSnapshot &limb, int lamination, Face face, double station)
{
  const FaceState *nearest = nullptr;
  for (const auto &state : limb.faces)
    if (state.lamination == lamination && state.face == face &&
        (nearest == nullptr || std::abs(state.station - station) < std::abs(nearest->station - station)))
      nearest = &state;
  return nearest;
}

const LimbSnapshot *last_state(const DrawResults &results, LimbName limb)
{
  if (!results.snapshots.empty())
    for (const auto &state : results.snapshots.back().limbs)
      if (state.limb == limb)
        return &state;
  return nullptr;
}

/// A layer's outline square to the limb: down one side of the limb, up the other. [m]
PageJson outline_across(const LimbShape &shape, std::size_t lamination, double station)
{
  constexpr int n = 8;
  const double top = shape.back_face_depth(lamination, station), bottom = shape.belly_face_depth(lamination, station);
  PageJson outline = {{"across", PageJson::array()}, {"depth", PageJson::array()}};
  for (int i = 0; i <= 2 * n + 1; ++i)
  {
    const bool down = i <= n;
    const double depth = top + (bottom - top) * (down ? i : 2 * n + 1 - i) / n;
    outline["across"].push_back((down ? 0.5 : -0.5) * shape.width(station, depth));
    outline["depth"].push_back(depth);
  }
  return outline;
}

/// Depth of a hot spot, from the back datum. [m]
double depth_of(const LimbShape &shape, const HotSpot &spot)
{
  const auto present = [&](int lamination)
  { return lamination >= 0 && shape.present(static_cast<std::size_t>(lamination), spot.station); };
  if (spot.glue_line >= 0 && present(spot.glue_line))
    return shape.back_face_depth(static_cast<std::size_t>(spot.glue_line), spot.station) -
           0.5 * shape.gap(static_cast<std::size_t>(spot.glue_line), spot.station);
  if (present(spot.lamination))
  {
    const auto lamination = static_cast<std::size_t>(spot.lamination);
    const double back = shape.back_face_depth(lamination, spot.station), belly = shape.belly_face_depth(lamination, spot.station);
    return spot.face == Face::back ? back : spot.face == Face::belly ? belly : 0.5 * (back + belly);
  }
  return shape.outer_belly_depth(spot.station);
}
} // namespace

PageJson section_part(const StoredRun &run, LimbName limb, double station)
{
  const LimbShape shape(limb_of(run.bow_case, limb));
  const auto &laminations = shape.description().laminations;
  const LimbSnapshot *state = last_state(run.results, limb);
  PageJson json = {{"limb", limb_words(limb, run.results.symmetric)},
                   {"station", station},
                   {"width", shape.width(station)},
                   {"stack", shape.stack(station)},
                   {"follow_crown", shape.description().section.follow_crown},
                   {"layers", PageJson::array()}};
  for (std::size_t i = 0; i < laminations.size(); ++i)
  {
    if (!shape.present(i, station))
      continue;
    PageJson layer = {{"name", laminations[i].name}, {"thickness", shape.thickness(i, station)}};
    layer["outline"] = outline_across(shape, i, station);
    for (const Face face : {Face::belly, Face::back})
      if (const auto *found = state == nullptr ? nullptr : nearest_face(*state, static_cast<int>(i), face, station))
        layer[face == Face::belly ? "belly_face" : "back_face"] = {
            {"depth", face == Face::belly ? shape.belly_face_depth(i, station) : shape.back_face_depth(i, station)},
            {"strain", found->strain_along},
            {"stress", found->stress_along}};
    json["layers"].push_back(std::move(layer));
  }
  return json;
}

PageJson close_up_part(const StoredRun &run, const HotSpot &spot)
{
  const LimbShape shape(limb_of(run.bow_case, spot.limb));
  const auto &described = shape.description();
  const double from = std::max(described.root_station, spot.station - close_up_reach);
  const double to = std::min(described.tip_station, spot.station + close_up_reach);
  PageJson json = {{"station", spot.station}, {"depth", depth_of(shape, spot)}, {"from", from}, {"to", to}};
  json["layers"] = PageJson::array();
  for (std::size_t i = 0; i < described.laminations.size(); ++i)
  {
    const double start = std::max(from, shape.start(i)), end = std::min(to, shape.end(i));
    if (!(end > start))
      continue;
    PageJson layer = {{"name", described.laminations[i].name}};
    constexpr int n = 24;
    for (int k = 0; k <= n; ++k)
    {
      // Just inside its ends, where it is present.
      const double station = start + (end - start) * std::clamp(static_cast<double>(k) / n, 1e-6, 1. - 1e-6);
      if (!shape.present(i, station))
        continue;
      layer["station"].push_back(station);
      layer["back"].push_back(shape.back_face_depth(i, station));
      layer["belly"].push_back(shape.belly_face_depth(i, station));
    }
    if (layer.contains("station"))
      json["layers"].push_back(std::move(layer));
  }
  return json;
}
} // namespace limbwright
