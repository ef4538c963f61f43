#pragma once

#include "cases/reader/case.h"
#include "cases/report/told_units.h"
#include "solver/results.h"

#include <string>
#include <vector>

namespace limbwright
{
/// What a run means in one word, worst first of what is told to people.
struct Verdict
{
  enum class Level
  {
    comfortable, //!< no index past comfortable_index, belly comfortable
    takes_set,   //!< no index past comfortable_index, the belly keeps some of the bend
    works_hard,  //!< an index past comfortable_index or a belly past what it likes
    fails,       //!< an index past one: by these numbers it fails before full draw
    not_finished //!< the run is not complete
  };
  Level level = Level::comfortable;
  std::string words;                 //!< the level in words
  double worst_index = not_known;    //!< [1] of all places told
  double crushing_index = not_known; //!< [1] of the belly; not known where no wood is pressed
};
Verdict verdict_of(const Case &bow_case, const DrawResults &results);

/// A few sentences: the weight, the level with its numbers, the worst place, the set.
std::string verdict_sentence(const Case &bow_case, const DrawResults &results, Units units);

/// A bowyer's question and what the run answers.
struct Question
{
  std::string question, answer;
};
/// The twelve a maker asks, in his order; where one run cannot answer, what would.
std::vector<Question> twelve_questions(const Case &bow_case, const DrawResults &results, Units units);
} // namespace limbwright
