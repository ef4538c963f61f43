#pragma once

#include "cases/reader/case.h"
#include "cases/report/told_units.h"
#include "solver/results.h"

#include <optional>
#include <string>
#include <vector>

namespace limbwright
{
// What a run means. Answer, report and studies take verdict, balance and worst places from verdict_of() alone, so that no two of
// them can differ about the same bow.

/// Marks, as fractions of a strength. [1] Ours, no source. comfortable_index leaves a seventh of the strength for what a
/// calculation does not know of the wood in hand. Those of a wooden belly part the example bows as the trade's experience does:
/// a spruce bow that crushes (1.1), a cherry belly under a strong back (0.8), ash, hickory and locust bows that take set and hold
/// (0.45 to 0.6), wood under glass (0.35).
inline constexpr double comfortable_index = 0.85;
inline constexpr double belly_comfortable_index = 0.4, belly_holds_index = 0.7;

/// The mark up to which a mode counts as comfortable: belly_holds_index for a wooden belly, comfortable_index for all else. [1]
double comfortable_up_to(FailureMode mode);
inline bool comfortable(const HotSpot &spot)
{
  return spot.index < comfortable_up_to(spot.mode);
}

/// The places that are told to people, worst first. While wood is elastic, its stress on the belly side runs past the crushing
/// strength in every good bow, so those indices, and the set index, are left to the tables; the crushing index stands for the
/// belly.
std::vector<HotSpot> ranked_for_people(const Case &bow_case, const std::vector<HotSpot> &spots);

/// What a place counts for in the balance of a limb.
enum class Side
{
  back,  //!< stretched along the grain, whichever layer it is
  belly, //!< pressed along the grain
  glue,
  across //!< split or crushed across the grain, or a wrap
};
Side side_of(const HotSpot &spot);

struct Verdict
{
  enum class Level
  {
    comfortable, //!< every place is comfortable(), and no wooden belly past belly_comfortable_index
    takes_set,   //!< every place is comfortable(); a wooden belly keeps some of the bend
    works_hard,  //!< some place is past its mark
    fails,       //!< an index past one: by these numbers it fails before full draw
    not_finished //!< the run is not complete
  };
  Level level = Level::comfortable;
  std::vector<HotSpot> worst;                     //!< ranked_for_people()
  std::optional<HotSpot> back, belly, glue, core; //!< worst of each; core: layers that are neither first nor last, in any mode

  double worst_index() const { return worst.empty() ? not_known : worst.front().index; } //!< [1]
};
inline double index_of(const std::optional<HotSpot> &spot)
{
  return spot ? spot->index : not_known;
}

/// Of a run at the last draw reached; of one of its limbs; of any spots, such as those of one state.
Verdict verdict_of(const Case &bow_case, const DrawResults &results);
Verdict verdict_of(const Case &bow_case, const DrawResults &results, LimbName limb);
Verdict verdict_of(const Case &bow_case, const std::vector<HotSpot> &spots);

/// "comfortable", "working hard", ...; and as scripts read it, "comfortable", "works_hard".
std::string level_words(Verdict::Level level);
std::string level_key(Verdict::Level level);
/// What a crushing index of a wooden belly means in words.
std::string belly_level_words(double crushing_index);

/// An index as people read it, a percentage of strength: "66 %". Whole per cent, but where rounding would lift it to a mark that
/// it does not reach: "99.6 %".
std::string strength_used(const HotSpot &spot);
/// The same of an index alone; "not judged" where it is not known. belly: of a wooden belly, which has marks of its own.
std::string strength_used(double index, bool belly = false);

/// "Hardest worked: belly glass at 90 % of its strength (100 % = it fails): crushing along the grain."
std::string hardest_worked_words(const Case &bow_case, const Verdict &verdict, bool symmetric);
/// "back: bamboo at 66 %; belly: osage at 58 %; glue: bamboo | osage at 30 %"; the limb is named where the limbs differ.
std::string sides_words(const Case &bow_case, const Verdict &verdict, bool symmetric);
/// sides_words() and which side governs, with what that means, in sentences.
std::string balance_words(const Case &bow_case, const Verdict &verdict, bool symmetric);
/// A few sentences for the top of a page: the weight, hardest_worked_words(), balance_words(), the set.
std::string verdict_sentence(const Case &bow_case, const DrawResults &results, Units units);
} // namespace limbwright
