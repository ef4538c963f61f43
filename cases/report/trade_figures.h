#pragma once

#include "cases/reader/case.h"
#include "solver/results.h"

#include <optional>

namespace limbwright
{
// Figures a bowyer asks for that follow from what a run found. SI; draws from the pivot to the nocking point.

/// The braced bow; null when it was not strung.
const Snapshot *braced(const DrawResults &results);

/// How far the bow is drawn before a place that is told to people is past its mark (verdict.h).
struct ComfortableDraw
{
  double draw = not_known;        //!< [m] the brace height where it is past the mark braced; the last draw where it never is
  bool never_comfortable = false; //!< past it already when braced
  bool to_the_end = false;        //!< comfortable all the way
  std::optional<HotSpot> limit;   //!< what reaches it first, as it is at the next solved step
};
/// Linear between solved steps, place by place. Nothing when the bow was not strung.
std::optional<ComfortableDraw> comfortable_draw(const Case &bow_case, const DrawResults &results);

/// [m] draw at the first solved step at which a string that lay on a limb no longer does. The solver closes in on it.
std::optional<double> string_lifts_off(const DrawResults &results, LimbName limb = LimbName::upper);
/// [m] of string on a limb at one point of the draw.
double contact_length(const DrawPoint &point, LimbName limb);

/// Where the outermost lamination of the back is pulled off what lies below it most, away from every end: the peel in the glue
/// there, opening. In a hook that bends toward the target the pull along the back does that.
struct PullOnBack
{
  LimbName limb = LimbName::upper;
  int lamination = -1;                         //!< the outermost one
  double station = 0.;                         //!< [m] at the last draw
  double braced = not_known, last = not_known; //!< [Pa] largest peel braced, and at the last draw; positive opening
};
/// Nothing where no glue line lies under the back, or nothing pulls it open.
std::optional<PullOnBack> pull_on_back(const Case &bow_case, const DrawResults &results);

/// How far the drawn point of the string rises until the last draw [m], and how far the handle turns [rad], against the bow as it
/// was strung, before a hand is on it: the string upright and the nocking point at its height.
double nocking_travel(const Case &bow_case, const DrawResults &results);
double handle_turn(const DrawResults &results);

/// Energy stored per force at the last draw. [J/N]
double energy_per_weight(const DrawResults &results);

/// [N] force at n inches (1 or 2) past full draw; NaN where it was not reached.
double force_past_full_draw(const DrawResults &results, int n_inches);
} // namespace limbwright
