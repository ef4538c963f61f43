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
/// The material of the lamination that a spot lies in; null for glue and wraps.
const Material *material_of(const Case &bow_case, const HotSpot &spot);

/// The mode as a bowyer says it, for example "tension break along the grain".
std::string mode_words(FailureMode mode);
/// The mode as scripts read it, for example "tension_along".
std::string mode_key(FailureMode mode);
/// The mode of a key; nothing when there is no such mode.
std::optional<FailureMode> mode_of_key(const std::string &key);
/// "upper", "lower".
std::string limb_key(LimbName limb);
/// "upper limb", or "both limbs" where both are alike.
std::string limb_words(LimbName limb, bool symmetric);
std::string face_words(Face face);

/// The lamination's name, or "A | B" for the glue between A and B (belly side first).
std::string layer_name(const Case &bow_case, const HotSpot &spot);
/// "upper limb, 11.0 in from center, belly glass, belly face".
std::string place_words(const Case &bow_case, const HotSpot &spot, bool symmetric, Units units = Units::trade);

/// "the belly begins to yield", ...; and as scripts read it, "first_yield".
std::string event_words(Event::Kind kind);
std::string event_key(Event::Kind kind);
std::optional<Event::Kind> event_of_key(const std::string &key);
/// The layer or glue line as for a hot spot; empty where the event is a whole section's or the bow's.
std::string layer_name(const Case &bow_case, const Event &event);

/// What value and limit of a mode are.
enum class Measure
{
  stress, //!< [Pa]
  strain, //!< [1]
  energy, //!< [J/m2] per area
  ratio   //!< [1] of criteria of several stresses: the value is the index, the limit one
};
Measure measure_of(FailureMode mode);
/// "Pa", "1", "J/m2".
std::string unit_of(Measure measure);

/// "the archer's right" or "the archer's left": the side of a lateral place z that is not in the middle.
std::string side_words(double z);

/// What the limit rests on when it is an estimate, remembered or computed from something else; empty when it was looked up.
std::string strength_caution(const Case &bow_case, const HotSpot &spot);
} // namespace limbwright
