#include "meshing/mesh/strips.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace limbwright
{
namespace
{
constexpr double strips_per_knot = 4.; // strips go on along the whole limb, so a knot has fewer of them than of columns

// Greatest width of the strip that begins at a place, for the edges' sake: they grow inward from what is asked for at an edge.
// Shares of half the width.
double strip_toward_edges(const LimbShape &shape, const MeshSettings &settings, double place)
{
  double thinnest = std::numeric_limits<double>::infinity(); // [m]
  if (settings.edge_refinement > 0.)
    for (std::size_t line = 0; line < shape.description().glue.size(); ++line)
      if (!shape.description().glue[line].of_split)
        thinnest = std::min({thinnest, shape.full_thickness(line), shape.full_thickness(line + 1)});
  if (std::isinf(thinnest))
    return thinnest;
  const std::vector<double> &widths = shape.description().width.value;
  const double at_edge = settings.edge_refinement * thinnest / (0.5 * *std::max_element(widths.begin(), widths.end()));
  const double slope = settings.growth - 1., far = (at_edge + slope * (1. - place)) / settings.growth;
  return settings.half_width ? far : std::min(far, at_edge + slope * (1. + place));
}

// Greatest width of a strip at a place, shares of half the width.
double strip_width(const LimbShape &shape, const MeshSettings &settings, double place)
{
  double size = 1. / settings.strips;
  for (const Knot &knot : shape.description().weak.knots)
  {
    if (knot.direction != KnotDirection::through)
      continue;
    const double half = 0.5 * shape.width(knot.station), radius = 0.5 * knot.diameter / half;
    const double beyond = std::max(0., std::abs(place - knot.off_centre / half) - radius);
    size = std::min(size, 2. * radius / strips_per_knot + (settings.growth - 1.) * beyond);
  }
  return size;
}
} // namespace

std::vector<double> strip_borders(const LimbShape &shape, const MeshSettings &settings)
{
  // Where a strip must end: the middle plane or the edges, and the sides of patches.
  std::vector<double> marks = settings.half_width ? std::vector<double>{0., 1.} : std::vector<double>{-1., 0., 1.};
  const double first = marks.front();
  constexpr double same = 0.02; // no strip is thinner for the sake of a mark
  const auto is_new = [&](double mark)
  { return std::none_of(marks.begin(), marks.end(), [&](double other) { return std::abs(mark - other) < same; }); };
  for (const GlueLineDescription &line : shape.description().glue)
    for (const GluePatch &patch : line.patches)
      for (const double side : {-patch.width_share, patch.width_share})
        if (const double mark = 2. * patch.across / shape.width(0.5 * (patch.from + patch.to)) + side;
            mark > first && mark < 1. && is_new(mark))
          marks.push_back(mark);
  std::sort(marks.begin(), marks.end());
  std::vector<double> borders{first};
  for (std::size_t i = 1; i < marks.size(); ++i)
  {
    const double from = borders.back(), to = marks[i];
    // Step by step with the size that is due, then stretched to end at the mark.
    std::vector<double> steps{from};
    while (steps.back() < to - 1e-9)
    {
      const double size = strip_width(shape, settings, steps.back());
      steps.push_back(steps.back() + std::min({size, strip_width(shape, settings, steps.back() + size),
                                               strip_toward_edges(shape, settings, steps.back())}));
    }
    const double stretch = (to - from) / (steps.back() - from);
    for (std::size_t k = 1; k + 1 < steps.size(); ++k)
      borders.push_back(from + stretch * (steps[k] - from));
    borders.push_back(to);
  }
  return borders;
}
} // namespace limbwright
