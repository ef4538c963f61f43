#pragma once

#include "cases/reader/case.h"
#include "solver/results.h"

#include <string>

namespace limbwright
{
/// "12.3 lb", or "not known".
std::string number(double value, double size_of_unit, const char *unit, int decimals);
/// A draw as the case tells it, in inches.
std::string draw_told(const Case &bow_case, double draw);
const HotSpot *worst_of(const std::vector<HotSpot> &spots, FailureMode mode);

// Paragraphs of the answer; empty where there is nothing to tell.

/// The worst belly, with a verdict.
std::string belly_words(const Case &bow_case, const DrawResults &results);
/// The back's worst index beside the belly's.
std::string balance_words(const Case &bow_case, const DrawResults &results);
/// "12 of 1000 J/m2 (0.07 of 5.7 in-lb per sq in)", energy per area.
std::string energy_words(double value, double limit);
/// What the ends of open patches would release, and what growing takes.
std::string patch_words(const Case &bow_case, const DrawResults &results);
/// What the draw did to the bow, in its order.
std::string event_list(const Case &bow_case, const DrawResults &results);
/// The bow let down, drawn again and unstrung.
std::string after_the_draw(const DrawResults &results);
} // namespace limbwright
