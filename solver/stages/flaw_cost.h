#pragma once

#include "solver/bow_description.h"
#include "solver/results.h"

#include <vector>

namespace limbwright
{
/// The described bow, otherwise: drawn beside it to tell what its flaws cost.
struct BowVariant
{
  BowBeside kind = BowBeside::sound;
  BowDescription bow;
};

/// Whether a bow has any flaw, so that there is something to draw beside it.
bool flawed(const BowDescription &bow);

/// What to draw beside a bow, on meshes of the same cells: the bow without its flaws and, where they were mended,
/// with them as they were found. Nothing where it has none.
std::vector<BowVariant> bows_beside(const BowDescription &bow);

/// How to solve a variant so that it can be laid beside what was found of the described bow: as far as that was drawn, in as many
/// steps, for what happens between steps is interpolated; but for those in which events of glue were closed in on.
void follow_draw(const DrawResults &described, BowDescription &variant, SolveSettings &settings);

/// The described bow beside a variant. Bend: the change of curvature, meant over one thickness of the limb, as a section's
/// straight-line fit has it.
FlawCost cost_of_flaws(const DrawResults &described, BowBeside kind, const DrawResults &variant);

/// The first events of a kind in a limb, of two bows; at least one is there.
struct EventDifference
{
  std::optional<Event> with, without;
};

/// Where the events of a bow and those of the bow beside part, by draw: only one has it, or more than a hundredth of the draw
/// lies between them.
std::vector<EventDifference> event_differences(const DrawResults &described, const FlawCost &cost);
} // namespace limbwright
