#pragma once

#include "cases/reader/case.h"
#include "cases/report/told_units.h"
#include "solver/results.h"

#include <optional>
#include <string>
#include <vector>

namespace limbwright
{
/// An index or a bend, over that of the bow without the flaw, from which the flaw counts [1]. Judgement, no source.
inline constexpr double counts_from = 1.1;

/// As scripts read it: "knot", "sloping_grain", "weak_glue"; "sound", "as_found".
std::string flaw_key(FlawKind kind);
std::optional<FlawKind> flaw_of_key(const std::string &key);
std::string beside_key(BowBeside beside);
std::optional<BowBeside> beside_of_key(const std::string &key);

/// "loose knot, 0.25 in, in belly at 12.0 in".
std::string flaw_name(const Case &bow_case, LimbName limb, const Flaw &flaw, Units units = Units::trade);

/// What a flaw does to the bow.
enum class FlawRole
{
  governs, //!< the bow's worst place lies near it, and would not be as bad without it
  counts,  //!< index or bend near it rise, but another place is worse
  hidden   //!< neither rises by as much as counts_from
};
FlawRole role_of(const Case &bow_case, const DrawResults &results, const FlawDifference &difference);
std::string role_key(FlawRole role);

/// The worst of a flaw's spots among those told to people; null where there is none.
std::optional<HotSpot> worst_for_people(const Case &bow_case, const std::vector<HotSpot> &spots);

/// One entry for each flaw, and one for events that come otherwise, of the bow beside the described one.
std::vector<std::string> flaw_cost_lines(const Case &bow_case, const DrawResults &results, const FlawCost &cost,
                                         Units units = Units::trade);
/// The weights, and set, with the flaws and without.
std::string flaw_cost_sum(const Case &bow_case, const FlawCost &cost, Units units = Units::trade);

/// The paragraph of the answer: what the bow's flaws cost. Empty where it has none; where it was not drawn without them it says
/// so.
std::string flaw_cost_words(const Case &bow_case, const DrawResults &results);
} // namespace limbwright
