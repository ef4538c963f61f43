#pragma once

#include "cases/reader/case.h"
#include "solver/results.h"

#include <optional>

namespace limbwright
{
// Figures a bowyer asks for that follow from what a run found. SI; draws from the pivot to the nocking point.

/// The index up to which a draw counts as comfortable. [1] Our own band: it leaves a seventh of the strength for what a
/// calculation does not know of the wood in hand. Wood is elastic here; once it yields, the belly will tell a shorter draw.
inline constexpr double comfortable_index = 0.85;

/// The braced bow; null when it was not strung.
const Snapshot *braced(const DrawResults &results);

/// How far the bow is drawn before an index that is told to people reaches comfortable_index.
struct ComfortableDraw
{
  double draw = not_known;        //!< [m] the brace height where the index is past it braced; the last draw where it never is
  bool never_comfortable = false; //!< past it already when braced
  bool to_the_end = false;        //!< below it all the way
  std::optional<HotSpot> limit;   //!< what reaches it first, as it is at the next solved step
};
/// Linear between solved steps, place by place. Nothing when the bow was not strung.
std::optional<ComfortableDraw> comfortable_draw(const Case &bow_case, const DrawResults &results);

/// [m] draw at the first solved step at which a string that lay on the limb no longer does. The solver closes in on it.
std::optional<double> string_lifts_off(const DrawResults &results);

/// How far the drawn point of the string rises from brace to the last draw [m], and how far the handle turns [rad].
double nocking_travel(const DrawResults &results);
double handle_turn(const DrawResults &results);

/// Worst index of the belly or the back side of a limb among those told to people; nothing where there is none.
std::optional<double> worst_index(const Case &bow_case, const DrawResults &results, LimbName limb, Face face);

/// Energy stored per force at the last draw. [J/N]
double energy_per_weight(const DrawResults &results);

/// [N] force at n inches (1 or 2) past full draw; NaN where it was not reached.
double force_past_full_draw(const DrawResults &results, int n_inches);
} // namespace limbwright
