#include "cases/reader/weak_reader.h"

#include "cases/reader/zone_places.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>

namespace limbwright
{
namespace
{
constexpr double inch = 0.0254; // exact

std::string inches(double metres)
{
  return fmt::format("{:.4g} in", metres / inch);
}

/// The stretch of a lamination that bends.
std::pair<double, double> extent(const LimbDescription &limb, std::size_t lamination)
{
  const LaminationDescription &which = limb.laminations[lamination];
  return {std::max(which.start, limb.root_station), std::min(which.end, limb.tip_station)};
}

void read_knot(const TomlView &view, const std::string &limb_name, LimbDescription &limb)
{
  const std::size_t errors_before = view.complaints().n_errors();
  KnotInput input;
  read_section(view, weak_knot_section(), input);
  if (view.complaints().n_errors() > errors_before || !of_this_limb(view, limb_name, input.limb))
    return;
  const auto index = lamination_named(view, input.lamination, limb);
  if (!index)
    return;
  Knot &knot = input.knot;
  knot.lamination = *index;
  const LaminationDescription &lamination = limb.laminations[*index];
  const bool through = knot.direction == KnotDirection::through, filled = knot.state == KnotState::filled;
  check_goes_with(view, "depth", !through, "direction = \"across\" or \"spike\"");
  check_goes_with(view, "length", knot.direction == KnotDirection::across, "direction = \"across\"");
  check_goes_with(view, "dive", through, "direction = \"through\"");
  check_goes_with(view, "filling_modulus", filled, "state = \"filled\"");
  check_goes_with(view, "filling_strength", filled, "state = \"filled\"");
  if (filled && !view.find("filling_modulus"))
    view.complaints().error(view.place_of("filling_modulus"), "is missing; a filled knot needs the stiffness of the filling, for "
                                                              "example \"3 GPa\" for glue and wood dust (an estimate)");
  const auto [begin, end] = extent(limb, *index);
  if (!lamination.thickness.empty() && (knot.station - knot.half_along() <= begin || knot.station + knot.half_along() >= end))
    view.find("station")->error(fmt::format("the knot is at {} from center, outside its lamination, which bends from {} to {}",
                                            inches(knot.station), inches(begin), inches(end)));
  const double width = limb.width.at(knot.station), thickness = lamination.thickness.at(knot.station);
  if (width > 0. && std::abs(knot.off_centre) - (through ? knot.half_across() : 0.) >= 0.5 * width)
    view.complaints().error(view.place_of("off_centre"),
                            fmt::format("the knot would be off the limb, which is {} wide there", inches(width)));
  if (through && knot.diameter >= width && width > 0.)
    view.find("diameter")
        ->warning(fmt::format("the knot is as wide as the limb ({} there) or wider: it cuts its lamination over the whole width",
                              inches(width)));
  if (!input.has_depth)
    knot.depth = 0.5 * thickness;
  else if (knot.depth - knot.half_across() >= thickness && thickness > 0.)
    view.find("depth")->error(fmt::format("the knot would be below its lamination, which is {} thick there", inches(thickness)));
  if (!through && knot.diameter > thickness && thickness > 0.)
    view.find("diameter")
        ->warning(fmt::format("the knot is larger than its lamination is thick, {}: where it lies across, it cuts it",
                              inches(thickness)));
  limb.weak.knots.push_back(knot);
}

void read_region(const TomlView &view, const std::string &limb_name, LimbDescription &limb)
{
  const std::size_t errors_before = view.complaints().n_errors();
  GrainRegionInput input;
  read_section(view, weak_run_out_section(), input);
  if (view.complaints().n_errors() > errors_before || !of_this_limb(view, limb_name, input.limb))
    return;
  const auto index = lamination_named(view, input.lamination, limb);
  if (!index)
    return;
  GrainRegion &region = input.region;
  region.lamination = *index;
  const auto [begin, end] = extent(limb, *index);
  if (region.to <= region.from)
    view.find("to")->error("the stretch must end closer to the tip than it begins");
  else if (region.from < begin - 1e-6 || region.to > end + 1e-6)
    view.error(fmt::format("lies outside its lamination, which bends from {} to {}", inches(begin), inches(end)));
  limb.weak.regions.push_back(region);
}

} // namespace

void read_weak(const TomlView &document, const TomlView &limb_view, LimbDescription &limb)
{
  const auto view = document.find("weak");
  if (!view)
    return;
  if (view->table() == nullptr)
  {
    view->error("write weak zones as tables: [[weak.knot]], [[weak.run_out]], [[weak.split]], [[weak.wrap]]");
    return;
  }
  complain_of_unknown_keys(*view, {"knot", "run_out", "split", "wrap"});
  const std::string limb_name = limb_view.place().key;
  read_each(*view, "knot", [&](const TomlView &entry) { read_knot(entry, limb_name, limb); });
  read_each(*view, "run_out", [&](const TomlView &entry) { read_region(entry, limb_name, limb); });
}
} // namespace limbwright
