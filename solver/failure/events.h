#pragma once

#include "solver/bow_description.h"
#include "solver/results.h"

#include <vector>

namespace limbwright
{
/// What happens to a bow on its way from brace to the last draw, in the order of the draws; between two solved steps the
/// quantity that decides is taken as linear in the draw. For each limb: the first yielding of wood, sections of which a tenth, a
/// quarter and a half has yielded, the first back to break in tension, the first glue line past its strength, the first glue that
/// lets go, the first loose layer that buckles. sudden_growth [m]: draws at which glue parted by itself. wood_yields: whether the
/// wood was solved as yielding; elastic wood has no event of yielding.
std::vector<Event> events_of_draw(const BowDescription &bow, const std::vector<Snapshot> &snapshots,
                                  const std::vector<double> &sudden_growth, bool wood_yields);

/// Sets draw_at_one of the last snapshot's spots: where the worst index of the same layer and mode, interpolated over the
/// snapshots' draws, first reaches one.
void set_draw_at_one(std::vector<HotSpot> &spots, const std::vector<Snapshot> &snapshots);
} // namespace limbwright
