#pragma once

#include "cases/reader/case.h"
#include "cases/report/text_layout.h"
#include "cases/report/told_units.h"
#include "solver/results.h"

#include <optional>
#include <string>
#include <vector>

namespace limbwright
{
const LimbDescription &limb_of(const Case &bow_case, LimbName limb);

/// The mode as a bowyer says it, for example "break in tension along the grain".
std::string mode_words(FailureMode mode);
/// The mode as scripts read it, for example "tension_along".
std::string mode_key(FailureMode mode);
/// The mode of a key; nothing when there is no such mode.
std::optional<FailureMode> mode_of_key(const std::string &key);
/// "upper", "lower".
std::string limb_key(LimbName limb);
/// "upper limb", or "either limb" where both are alike.
std::string limb_words(LimbName limb, bool symmetric);
std::string face_words(Face face);

/// The lamination's name, or "A | B" for the glue between A and B (belly side first).
std::string layer_name(const Case &bow_case, const HotSpot &spot);
/// "upper limb, 11.0 in from the middle of the handle, belly glass, belly face".
std::string place_words(const Case &bow_case, const HotSpot &spot, bool symmetric, Units units = Units::trade);

/// "the belly begins to yield", ...; and as scripts read it, "first_yield".
std::string event_words(Event::Kind kind);
std::string event_key(Event::Kind kind);
std::optional<Event::Kind> event_of_key(const std::string &key);
/// The layer or glue line as for a hot spot; empty where the event is a whole section's or the bow's.
std::string layer_name(const Case &bow_case, const Event &event);

/// What a crushing index means in words. The bands are ours, set so that they part the example bows as the trade's experience
/// does: a spruce bow that crushes (1.1), a cherry belly under a strong back (0.8), ash, hickory and locust bows that take set
/// and hold (0.45 to 0.6), wood under glass (0.35).
inline constexpr double belly_comfortable_index = 0.4, belly_holds_index = 0.7;
std::string belly_verdict(double crushing_index);

/// What value and limit of a mode are.
enum class Measure
{
  stress, //!< [Pa]
  strain, //!< [1]
  energy  //!< [J/m2] per area
};
Measure measure_of(FailureMode mode);

/// "the archer's right" or "the archer's left": the side of a lateral place z that is not in the middle.
std::string side_words(double z);

/// What the limit rests on when it is an estimate, remembered or computed from something else; empty when it was looked up.
std::string strength_caution(const Case &bow_case, const HotSpot &spot);

/// The ranking for people. While wood is elastic, its stress on the belly side runs past the crushing strength in every good bow,
/// so those indices, and the set index, are left to the tables; the crushing index stands for the belly.
std::vector<HotSpot> ranked_for_people(const Case &bow_case, const std::vector<HotSpot> &spots);
} // namespace limbwright
