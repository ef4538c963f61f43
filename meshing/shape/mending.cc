#include "meshing/shape/mending.h"

#include <algorithm>

namespace limbwright
{
namespace
{
template <class Change>
void for_each_patch(LimbDescription &limb, const Change &change)
{
  for (GlueLineDescription &line : limb.glue)
    std::for_each(line.patches.begin(), line.patches.end(), change);
}

// They stay in the description, for the mesh has columns that end where they do.
void leave_wraps_off(LimbDescription &limb)
{
  for (Wrap &wrap : limb.wraps)
    wrap = Wrap{wrap.from, wrap.to};
}
} // namespace

LimbDescription unmended(LimbDescription limb)
{
  for_each_patch(limb,
                 [](GluePatch &patch)
                 {
                   if (patch.filled())
                     patch.strength = 0.;
                   patch.filling.clear();
                 });
  leave_wraps_off(limb);
  return limb;
}

LimbDescription sound(LimbDescription limb)
{
  for_each_patch(limb,
                 [](GluePatch &patch)
                 {
                   patch.strength = 1.;
                   patch.gap = 0.;
                   patch.filling.clear();
                 });
  leave_wraps_off(limb);
  limb.weak.told_sound = true;
  return limb;
}

bool mended(const LimbDescription &limb)
{
  const auto filled = [](const GlueLineDescription &line)
  { return std::any_of(line.patches.begin(), line.patches.end(), [](const GluePatch &patch) { return patch.filled(); }); };
  return std::any_of(limb.glue.begin(), limb.glue.end(), filled) ||
         std::any_of(limb.wraps.begin(), limb.wraps.end(), [](const Wrap &wrap) { return wrap.modulus > 0.; });
}
} // namespace limbwright
