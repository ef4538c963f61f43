#include "cases/report/verdict.h"

#include "cases/report/answer_parts.h"
#include "cases/report/output_units.h"
#include "cases/report/split_words.h"
#include "cases/report/text_layout.h"
#include "cases/report/words.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace limbwright
{
namespace
{
/// Keeps the worse of the two.
void keep(std::optional<HotSpot> &worst, const HotSpot &spot)
{
  if (!worst || spot.index > worst->index)
    worst = spot;
}

bool in_core(const Case &bow_case, const HotSpot &spot)
{
  return spot.lamination > 0 && spot.lamination + 1 < static_cast<int>(limb_of(bow_case, spot.limb).laminations.size());
}

/// "bamboo at 66 %", "core | back, lower limb, at 66 %".
std::string layer_at(const Case &bow_case, const HotSpot &spot, bool symmetric)
{
  return layer_name(bow_case, spot) + (symmetric ? "" : ", " + limb_words(spot.limb, false) + ",") + " at " + strength_used(spot);
}

bool of_wood(const Case &bow_case, const HotSpot &spot)
{
  const Material *material = material_of(bow_case, spot);
  return material != nullptr && (material->kind == MaterialKind::wood || material->kind == MaterialKind::bamboo);
}
} // namespace

double comfortable_up_to(FailureMode mode)
{
  return mode == FailureMode::belly_crushing ? belly_holds_index : comfortable_index;
}

std::vector<HotSpot> ranked_for_people(const Case &bow_case, const std::vector<HotSpot> &spots)
{
  std::vector<HotSpot> ranked;
  for (const auto &spot : spots)
  {
    const bool elastic_crushing = of_wood(bow_case, spot) && (spot.mode == FailureMode::compression_along ||
                                                              (spot.mode == FailureMode::interaction && spot.face != Face::back));
    if (spot.mode != FailureMode::belly_set && !elastic_crushing)
      ranked.push_back(spot);
  }
  std::stable_sort(ranked.begin(), ranked.end(), [](const HotSpot &a, const HotSpot &b) { return a.index > b.index; });
  return ranked;
}

Side side_of(const HotSpot &spot)
{
  if (spot.glue_line >= 0)
    return Side::glue;
  switch (spot.mode)
  {
  case FailureMode::tension_along:
  case FailureMode::slanting_grain:
  case FailureMode::knot_cracks:
    return Side::back;
  case FailureMode::compression_along:
  case FailureMode::belly_set:
  case FailureMode::belly_crushing:
    return Side::belly;
  case FailureMode::interaction:
  case FailureMode::splinter: // of several stresses: by the face of the layer it is worst at
    return spot.face == Face::back ? Side::back : spot.face == Face::belly ? Side::belly : Side::across;
  default:
    return Side::across;
  }
}

Verdict verdict_of(const Case &bow_case, const std::vector<HotSpot> &spots)
{
  Verdict verdict;
  verdict.worst = ranked_for_people(bow_case, spots);
  bool past_mark = false, takes_set = false;
  for (const HotSpot &spot : verdict.worst)
  {
    past_mark = past_mark || !comfortable(spot);
    takes_set = takes_set || (spot.mode == FailureMode::belly_crushing && spot.index >= belly_comfortable_index);
    if (in_core(bow_case, spot))
      keep(verdict.core, spot);
    switch (side_of(spot))
    {
    case Side::back:
      keep(verdict.back, spot);
      break;
    case Side::belly:
      keep(verdict.belly, spot);
      break;
    case Side::glue:
      keep(verdict.glue, spot);
      break;
    case Side::across:
      break;
    }
  }
  verdict.level = verdict.worst_index() >= 1. ? Verdict::Level::fails
                  : past_mark                 ? Verdict::Level::works_hard
                  : takes_set                 ? Verdict::Level::takes_set
                                              : Verdict::Level::comfortable;
  return verdict;
}

Verdict verdict_of(const Case &bow_case, const DrawResults &results)
{
  Verdict verdict = verdict_of(bow_case, results.worst);
  if (!results.complete)
    verdict.level = Verdict::Level::not_finished;
  return verdict;
}

Verdict verdict_of(const Case &bow_case, const DrawResults &results, LimbName limb)
{
  std::vector<HotSpot> spots = results.worst;
  std::erase_if(spots, [limb](const HotSpot &spot) { return spot.limb != limb; });
  return verdict_of(bow_case, spots);
}

namespace
{
struct LevelName
{
  const char *key, *words;
};

LevelName level_name(Verdict::Level level)
{
  switch (level)
  {
  case Verdict::Level::comfortable:
    return {"comfortable", "comfortable"};
  case Verdict::Level::takes_set:
    return {"takes_set", "comfortable, with some set"};
  case Verdict::Level::works_hard:
    return {"works_hard", "working hard"};
  case Verdict::Level::fails:
    return {"fails", "past its strength: by these numbers it fails"};
  case Verdict::Level::not_finished:
    return {"not_finished", "not finished: no verdict"};
  }
  return {"", ""};
}
} // namespace

std::string level_words(Verdict::Level level)
{
  return level_name(level).words;
}

std::string level_key(Verdict::Level level)
{
  return level_name(level).key;
}

std::string belly_level_words(double crushing_index)
{
  if (crushing_index < belly_comfortable_index)
    return "comfortable";
  if (crushing_index < belly_holds_index)
    return "takes some set, should hold";
  if (crushing_index < 1.)
    return "more than a belly likes: look for chrysals (frets)";
  return "will crush";
}

std::string strength_used(double index, bool belly)
{
  if (!std::isfinite(index))
    return "not judged";
  const double used = index / percent;
  for (const double mark :
       belly ? std::vector{belly_comfortable_index, belly_holds_index, 1.} : std::vector{comfortable_index, 1.})
    if (const double at = mark / percent; index < mark && std::round(used) >= std::round(at))
      return fmt::format("{:.1f} %", std::min(used, at - 0.1));
  return fmt::format("{:.0f} %", used);
}

std::string strength_used(const HotSpot &spot)
{
  return strength_used(spot.index, spot.mode == FailureMode::belly_crushing);
}

std::string hardest_worked_words(const Case &bow_case, const Verdict &verdict, bool symmetric)
{
  if (verdict.worst.empty())
    return "Not judged: no layer has a known strength.";
  // A wooden belly has a lower mark, so the first past its mark need not be the worst.
  const auto past =
      std::find_if(verdict.worst.begin(), verdict.worst.end(), [](const HotSpot &spot) { return !comfortable(spot); });
  const HotSpot &spot = past == verdict.worst.end() ? verdict.worst.front() : *past;
  return fmt::format("Hardest worked: {} of {} (100 % = fails): {}.", layer_at(bow_case, spot, symmetric),
                     spot.mode == FailureMode::belly_crushing ? "its bending strength" : "its strength",
                     failure_words(bow_case, spot));
}

std::string sides_words(const Case &bow_case, const Verdict &verdict, bool symmetric)
{
  std::string text;
  const auto add = [&](const std::string &name, const std::optional<HotSpot> &spot)
  {
    const std::string at = spot ? layer_at(bow_case, *spot, symmetric) : "not judged (no known strength)";
    // A layer may itself be called "back".
    text += (text.empty() ? "" : "; ") + (spot && layer_name(bow_case, *spot) == name ? at : name + ": " + at);
  };
  add("back", verdict.back);
  add("belly", verdict.belly);
  if (verdict.glue)
    add("glue", verdict.glue);
  return text;
}

std::string balance_words(const Case &bow_case, const Verdict &verdict, bool symmetric)
{
  if (!verdict.back && !verdict.belly)
    return {};
  const std::string text = "Balance: " + sides_words(bow_case, verdict, symmetric) + ".";
  if (!verdict.back || !verdict.belly)
    return text;
  constexpr double alike = 0.05; // [1] closer than wood is known
  const double back = verdict.back->index, belly = verdict.belly->index;
  if (std::abs(back - belly) < alike)
    return text + " Back and belly work about equally; a back breaks without warning.";
  if (back > belly)
    return text + " The back works harder, and a back breaks without warning.";
  return text +
         (of_wood(bow_case, *verdict.belly) ? " The belly works harder; wood shows chrysals or set before it fails."
                                            : " The belly works harder.") +
         (comfortable(*verdict.back) ? "" : " But the back is near its limit too, and a back breaks without warning.");
}

std::string verdict_sentence(const Case &bow_case, const DrawResults &results, Units units)
{
  const Verdict verdict = verdict_of(bow_case, results);
  std::string text;
  if (!results.complete)
    text = "The run did not finish. Failed stage: " + results.failed_stage + ". Reason: " + results.reason +
           ". The numbers are for the last draw it reached. ";
  if (!(results.draw_weight > 0.))
    return text + "The bow was not drawn, so it has no draw weight.";
  text +=
      fmt::format("{} at {} of draw. {}", told(results.draw_weight, told_force, units),
                  draw_told(bow_case, results.draw_length, units), hardest_worked_words(bow_case, verdict, results.symmetric));
  if (const auto balance = balance_words(bow_case, verdict, results.symmetric); !balance.empty())
    text += " " + balance;
  if (const auto &down = results.let_down; down.complete)
    text += " Set after the first full draws: " + told(down.set_upper, told_length, units) +
            (results.symmetric ? "." : " upper, " + told(down.set_lower, told_length, units) + " lower.");
  return text;
}
} // namespace limbwright
