#pragma once

#include "cases/reader/case.h"
#include "cases/report/told_units.h"
#include "solver/results.h"

#include <string>
#include <utility>
#include <vector>

namespace limbwright
{
/// Of the last state: for each limb and glue line the free edge with the greatest index among its ends, and among its sides;
/// where no fracture energy is known, the one that would release most. Greatest index first.
std::vector<std::pair<LimbName, PatchEnd>> greatest_edges(const DrawResults &results);

/// What the ends of open patches would release, and what growing takes; empty where there are none.
std::string patch_words(const Case &bow_case, const DrawResults &results, Units units = Units::trade);
/// What the glue holds at its free edges, of what parting takes; empty where no edge is told.
std::string edge_words(const Case &bow_case, const DrawResults &results, Units units = Units::trade);
} // namespace limbwright
