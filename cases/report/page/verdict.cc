#include "cases/report/page/verdict.h"

#include "cases/report/answer_parts.h"
#include "cases/report/split_words.h"
#include "cases/report/trade_figures.h"
#include "cases/report/words.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace limbwright
{
namespace
{
std::string level_words(Verdict::Level level)
{
  switch (level)
  {
  case Verdict::Level::comfortable:
    return "comfortable";
  case Verdict::Level::takes_set:
    return "holds, and takes some set";
  case Verdict::Level::works_hard:
    return "working hard";
  case Verdict::Level::fails:
    return "past its strength: by these numbers it fails";
  case Verdict::Level::not_finished:
    return "not finished: no verdict";
  }
  return {};
}
} // namespace

Verdict verdict_of(const Case &bow_case, const DrawResults &results)
{
  Verdict verdict;
  const auto ranked = ranked_for_people(bow_case, results.worst);
  if (!ranked.empty())
    verdict.worst_index = ranked.front().index;
  if (const auto *belly = worst_of(results.worst, FailureMode::belly_crushing))
    verdict.crushing_index = belly->index;
  if (!results.complete)
    verdict.level = Verdict::Level::not_finished;
  else if (verdict.worst_index >= 1.)
    verdict.level = Verdict::Level::fails;
  else if (verdict.worst_index >= comfortable_index || verdict.crushing_index >= belly_holds_index)
    verdict.level = Verdict::Level::works_hard;
  else if (verdict.crushing_index >= belly_comfortable_index)
    verdict.level = Verdict::Level::takes_set;
  verdict.words = level_words(verdict.level);
  return verdict;
}

std::string verdict_sentence(const Case &bow_case, const DrawResults &results, Units units)
{
  const Verdict verdict = verdict_of(bow_case, results);
  std::string text;
  if (!results.complete)
    text = "The run is not finished. The stage that failed: " + results.failed_stage + ". Reason: " + results.reason +
           ". What follows is the bow as far as it went. ";
  if (!(results.draw_weight > 0.))
    return text + "It was not drawn: there is no weight to tell.";
  text += fmt::format("{} at {} of draw.", told(results.draw_weight, told_force, units),
                      draw_told(bow_case, results.draw_length, units));
  const auto ranked = ranked_for_people(bow_case, results.worst);
  if (!ranked.empty())
    text += fmt::format(" Nearest to failing: {}, {}: index {:.2f}, where one is failure and past {} is working hard.",
                        place_words(bow_case, ranked.front(), results.symmetric, units), failure_words(bow_case, ranked.front()),
                        ranked.front().index, comfortable_index);
  if (std::isfinite(verdict.crushing_index))
    text += fmt::format(" Belly: crushing index {:.2f}, {}.", verdict.crushing_index, belly_verdict(verdict.crushing_index));
  if (const auto &down = results.let_down; down.complete)
    text += " Set after the first full draws: " + told(down.set_upper, told_length, units) +
            (results.symmetric ? "." : " upper, " + told(down.set_lower, told_length, units) + " lower.");
  return text;
}
} // namespace limbwright
