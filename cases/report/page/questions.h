#pragma once

#include "cases/reader/case.h"
#include "cases/report/told_units.h"
#include "solver/results.h"

#include <string>
#include <vector>

namespace limbwright
{
/// A bowyer's question and what the run answers.
struct Question
{
  std::string question, answer;
};
/// The twelve a maker asks, in his order; where one run cannot answer, what would.
std::vector<Question> twelve_questions(const Case &bow_case, const DrawResults &results, Units units);
} // namespace limbwright
