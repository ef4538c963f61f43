#include "cases/reader/patch_reader.h"

#include "cases/reader/bow_keys.h"
#include "cases/reader/cut_reader.h"
#include "cases/reader/nearest_name.h"
#include "cases/reader/zone_places.h"

#include <fmt/format.h>

#include <algorithm>
#include <stdexcept>

namespace limbwright
{
namespace
{
std::string inches(double metres)
{
  return fmt::format("{:.4g} in", metres / 0.0254);
}

/// Finds the glue line of one patch.
class PatchLine
{
public:
  PatchLine(const TomlView &patch_view, const LimbShape &limb_shape, const std::array<std::size_t, 2> &laminations)
      : view(patch_view), shape(limb_shape), pair(laminations)
  {
    for (const GlueStretch &stretch : glue_stretches(shape))
      if (stretch.line == pair[0] && stretch.back == pair[1])
        touching.push_back(stretch);
  }

  /// Whether the two laminations touch over the whole patch, whose ends are moved to where laminations are cut; complains where
  /// they do not.
  bool holds(GluePatch &patch) const
  {
    const double from = cut_near(patch.from), to = cut_near(patch.to);
    for (const GlueStretch &stretch : touching)
      if (from < to && stretch.reaches(from) && stretch.reaches(to))
      {
        patch.from = from;
        patch.to = to;
        return true;
      }
    complain(patch);
    return false;
  }

private:
  const TomlView &view;
  const LimbShape &shape;
  std::array<std::size_t, 2> pair;
  std::vector<GlueStretch> touching;

  std::string name(std::size_t lamination) const { return in_quotes(shape.description().laminations[lamination].name); }

  /// A lamination that tapers to nothing is cut at its feather, short of its stated end; a station between the two means the cut.
  double cut_near(double station) const
  {
    for (std::size_t i = pair[0]; i <= pair[1]; ++i)
    {
      const LaminationDescription &lamination = shape.description().laminations[i];
      if (station > shape.end(i) && station <= lamination.end + same_station)
        return shape.end(i);
      if (station < shape.start(i) && station >= lamination.start - same_station)
        return shape.start(i);
    }
    return station;
  }

  /// The stretch of the patch, of those that lie between ends of laminations, where the two do not touch: the first.
  std::pair<double, double> apart(const GluePatch &patch) const
  {
    std::vector<double> borders{patch.from, patch.to};
    for (const LaminationEnd &end : shape.lamination_ends())
      if (end.station > patch.from + same_station && end.station < patch.to - same_station)
        borders.push_back(end.station);
    std::sort(borders.begin(), borders.end());
    for (std::size_t i = 0; i + 1 < borders.size(); ++i)
    {
      const double middle = 0.5 * (borders[i] + borders[i + 1]);
      if (std::none_of(touching.begin(), touching.end(), [middle](const GlueStretch &s) { return s.reaches(middle); }))
        return {borders[i], borders[i + 1]};
    }
    return {patch.from, patch.to};
  }

  /// Why the two do not touch at a station.
  std::string reason(double station) const
  {
    for (const std::size_t i : pair)
      if (!shape.present(i, station))
      {
        const bool ended = station > shape.end(i);
        const LaminationDescription &lamination = shape.description().laminations[i];
        const double cut = ended ? shape.end(i) : shape.start(i);
        return fmt::format("{} {} at {}{}", name(i), ended ? "ends" : "begins", inches(cut),
                           std::abs(cut - (ended ? lamination.end : lamination.start)) > same_station
                               ? ", where it is as thin as its feather"
                               : "");
      }
    return fmt::format("{} lies between {} and {}", name(shape.next_toward_back(pair[0], station)), name(pair[0]), name(pair[1]));
  }

  void complain(const GluePatch &patch) const
  {
    const auto [from, to] = apart(patch);
    const double station = 0.5 * (from + to);
    // In place of an absent lamination its neighbors touch; else the first does what lies on it.
    const std::size_t absent = !shape.present(pair[0], station) ? pair[0] : pair[1];
    std::size_t belly = pair[0];
    if (!shape.present(absent, station))
      for (belly = absent; belly-- > 0;)
        if (shape.present(belly, station))
          break;
    const std::size_t back = belly < shape.n_laminations() ? shape.next_toward_back(belly, station) : shape.n_laminations();
    const bool whole = from <= patch.from + same_station && to >= patch.to - same_station;
    std::string cure;
    if (back < shape.n_laminations())
      cure = fmt::format("there {} touches {}: {}", name(belly), name(back),
                         whole ? fmt::format("write between = [{}, {}]", name(belly), name(back))
                               : "write a separate patch for each stretch");
    else
      cure = "one of them has nothing to touch there: put the patch where both are";
    view.find("between")->error(fmt::format("{}, so {} and {} do not touch from {} to {}; {}", reason(station), name(pair[0]),
                                            name(pair[1]), inches(from), inches(to), cure));
  }
};

void read_patch(const TomlView &view, const std::string &limb_name, const std::optional<LimbShape> &shape, LimbDescription &limb)
{
  GluePatchInput input;
  const std::size_t errors_before = view.complaints().n_errors();
  read_section(view, glue_patch_section(), input);
  if (view.complaints().n_errors() > errors_before || !of_this_limb(view, limb_name, input.limb))
    return;
  const auto pair = laminations_between(view, input.between, limb);
  if (!pair)
    return;
  if (input.patch.to <= input.patch.from)
  {
    view.find("to")->error("the patch must end closer to the tip than it begins");
    return;
  }
  check_filling(view, input.patch);
  if (input.patch.from < limb.root_station || input.patch.to > limb.tip_station)
  {
    view.error(fmt::format("lies outside the limb, which runs from {:.2f} to {:.2f} in", limb.root_station / 0.0254,
                           limb.tip_station / 0.0254));
    return;
  }
  if (shape && !PatchLine(view, *shape, *pair).holds(input.patch))
    return;
  std::vector<GluePatch> &patches = limb.glue[(*pair)[0]].patches;
  for (const GluePatch &other : patches)
    if (other.from < input.patch.to && input.patch.from < other.to)
      view.error("overlaps a patch given before in the same glue line");
  patches.push_back(input.patch);
}

std::optional<LimbShape> shape_if_sound(const TomlView &document, const LimbDescription &limb)
{
  if (document.complaints().n_errors() > 0)
    return std::nullopt;
  try
  {
    return LimbShape(limb);
  }
  catch (const std::invalid_argument &) // told by the checks of sense
  {
    return std::nullopt;
  }
}
} // namespace

std::vector<GlueStretch> stretches_if_sound(const TomlView &document, const LimbDescription &limb)
{
  const auto shape = shape_if_sound(document, limb);
  return shape ? glue_stretches(*shape) : std::vector<GlueStretch>{};
}

void read_patches(const TomlView &glue_view, const TomlView &limb_view, LimbDescription &limb)
{
  if (!glue_view.find("patch"))
    return;
  const auto shape = shape_if_sound(glue_view, limb);
  read_each(glue_view, "patch", [&](const TomlView &entry) { read_patch(entry, limb_view.place().key, shape, limb); });
}
} // namespace limbwright
