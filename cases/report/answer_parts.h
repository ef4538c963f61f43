#pragma once

#include "cases/reader/case.h"
#include "cases/report/told_units.h"
#include "solver/results.h"

#include <string>

namespace limbwright
{
/// "12.3 lb", or "not known".
std::string number(double value, double size_of_unit, const char *unit, int decimals);
/// A draw as the case tells it.
std::string draw_told(const Case &bow_case, double draw, Units units = Units::trade);
/// The spot of that mode with the largest index; null where there is none.
const HotSpot *worst_of(const std::vector<HotSpot> &spots, FailureMode mode);

/// ": 74.2 of 120 ksi (512 of 827 MPa)", metric alone in metric; empty for criteria of several stresses.
std::string load_and_limit(const HotSpot &spot, Units units = Units::trade);
/// How a value was got that is not the raw one at its point; empty for one that is. Glue lies next to an end where the tables say
/// so (near_end), and is averaged everywhere.
std::string averaging_words(const DrawResults &results, const HotSpot &spot);
/// At which draw a place reaches its strength, or that it does not.
std::string when_it_fails(const Case &bow_case, const DrawResults &results, const HotSpot &spot, Units units = Units::trade);

// Paragraphs of the answer; empty where there is nothing to tell.

/// The wood that is pressed most, with what that means.
std::string belly_wood_words(const Case &bow_case, const DrawResults &results, Units units = Units::trade);
/// When an event came, "12.3 in" of draw or "braced", and what it was and where.
std::string event_when(const Case &bow_case, const Event &event, Units units = Units::trade);
std::string event_what(const Case &bow_case, const DrawResults &results, const Event &event, Units units = Units::trade);
/// "0.07 of 5.7 in-lb per sq in (12 of 1000 J/m2)", energy per area.
std::string energy_words(double value, double limit, Units units = Units::trade);
/// What the draw did to the bow, in its order.
std::string event_list(const Case &bow_case, const DrawResults &results);
/// The bow let down, drawn again and unstrung.
std::string after_the_draw(const DrawResults &results, Units units = Units::trade);
/// Drawn bows and broken limbs hurt people.
std::string caution_words();
} // namespace limbwright
