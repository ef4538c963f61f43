#pragma once

#include "solver/bow_description.h"
#include "solver/failure/section_curve.h"
#include "solver/results.h"

#include <vector>

namespace limbwright
{
/// What happens to a bow between brace and the last draw, in the order of the draws. For each limb: the first yielding of wood,
/// sections of which a tenth, a quarter and a half has yielded, the first back to break in tension, the first glue line past its
/// strength, the first glue that lets go, the first loose layer that buckles. Between two solved steps an index along the grain
/// follows the sections (section_curve.h), any other a monotone cubic of the draw. curves: by limb, upper and lower; none where
/// no wood yields: nothing is said of yielding then. sudden_growth [m]: draws at which glue parted with no more draw.
std::vector<Event> events_of_draw(const BowDescription &bow, const std::vector<Snapshot> &snapshots,
                                  const std::vector<SectionCurve> &curves, const std::vector<double> &sudden_growth);

/// Sets draw_at_one of the last snapshot's spots: where the worst index of the same layer and mode first reaches one; between the
/// snapshots as above.
void set_draw_at_one(std::vector<HotSpot> &spots, const std::vector<Snapshot> &snapshots,
                     const std::vector<SectionCurve> &curves);
} // namespace limbwright
