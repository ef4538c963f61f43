#include "meshing/shape/flaws.h"

#include "meshing/shape/limb_shape.h"

#include <algorithm>

namespace limbwright
{
std::vector<Flaw> flaws(const LimbShape &shape)
{
  const LimbDescription &limb = shape.description();
  std::vector<Flaw> list;
  const auto add = [&](FlawKind kind, std::size_t number, double from, double to, double size)
  {
    Flaw flaw;
    flaw.kind = kind;
    flaw.number = static_cast<int>(number);
    flaw.from = std::max(from, limb.root_station);
    flaw.to = std::min(to, limb.tip_station);
    flaw.beside = std::max(size, shape.stack(0.5 * (flaw.from + flaw.to)));
    list.push_back(flaw);
    return &list.back();
  };
  for (std::size_t i = 0; i < limb.weak.knots.size(); ++i)
  {
    const Knot &knot = limb.weak.knots[i];
    add(FlawKind::knot, i, knot.station - knot.half_along(), knot.station + knot.half_along(),
        2. * std::max(knot.half_along(), knot.half_across()))
        ->lamination = static_cast<int>(knot.lamination);
  }
  for (std::size_t i = 0; i < limb.weak.regions.size(); ++i)
    add(FlawKind::sloping_grain, i, limb.weak.regions[i].from, limb.weak.regions[i].to, 0.)->lamination =
        static_cast<int>(limb.weak.regions[i].lamination);
  for (std::size_t line = 0; line < limb.glue.size(); ++line)
    for (std::size_t i = 0; i < limb.glue[line].patches.size(); ++i)
      add(FlawKind::weak_glue, i, limb.glue[line].patches[i].from, limb.glue[line].patches[i].to, 0.)->glue_line =
          static_cast<int>(line);
  return list;
}

bool counts_for(const std::vector<Flaw> &list, std::size_t i, double station)
{
  return list[i].near(station) &&
         (list[i].kind != FlawKind::sloping_grain ||
          std::none_of(list.begin(), list.end(),
                       [station](const Flaw &other) { return other.kind == FlawKind::knot && other.near(station); }));
}

bool flawed(const LimbDescription &limb)
{
  return !limb.weak.empty() ||
         std::any_of(limb.glue.begin(), limb.glue.end(), [](const GlueLineDescription &line) { return !line.patches.empty(); });
}
} // namespace limbwright
