#pragma once

#include "cases/report/read_results.h"
#include "cases/report/told_units.h"

#include <nlohmann/json.hpp>

#include <functional>
#include <string>

namespace limbwright
{
// Parts of page_data() as JSON. Series are in SI.
using PageJson = nlohmann::ordered_json;

/// {"trade": ..., "metric": ...}: a text in both systems of units.
PageJson in_both(const std::function<std::string(Units)> &text);
/// The units the page's axes are told in, by kind: sizes in SI, names.
PageJson page_units();

/// Force over draw, beyond full draw, and the draw up to which it is comfortable.
PageJson draw_curve_part(const StoredRun &run);
/// Outlines in the bow's frame, with the string: unstrung, braced, full draw, unstrung again; both limbs.
PageJson shapes_part(const StoredRun &run);
/// By limb: strain and stress on both faces of every layer, the glue lines with their patches, sections, marks where layers end.
PageJson limbs_part(const StoredRun &run);
/// The index of the worst places over the draw.
PageJson index_part(const StoredRun &run, std::size_t n_places);

/// The section at a station of a limb: outlines of the layers square to the limb, strain through the depth.
PageJson section_part(const StoredRun &run, LimbName limb, double station);
/// The layers about a hot spot, the limb laid straight: outlines over station and depth, and the spot's own place.
PageJson close_up_part(const StoredRun &run, const HotSpot &spot);

/// Materials and adhesives of the bow: key values with where they come from.
PageJson materials_part(const StoredRun &run);
} // namespace limbwright
