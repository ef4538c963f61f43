#include "cases/report/flaw_words.h"

#include "cases/report/answer_parts.h"
#include "cases/report/page/bending.h"
#include "cases/report/split_words.h"
#include "cases/report/verdict.h"
#include "cases/report/words.h"
#include "solver/stages/flaw_cost.h"

#include <fmt/core.h>

#include <cmath>

namespace limbwright
{
namespace
{
/// Where something that is not in the middle of the width has its middle.
std::string off_middle(double z, Units units)
{
  return z == 0. ? std::string() : ", " + told(std::abs(z), told_length, units) + " to " + side_words(z);
}

std::string knot_words(const Knot &knot, Units units)
{
  std::string state;
  switch (knot.state)
  {
  case KnotState::sound:
    state = "sound knot";
    break;
  case KnotState::loose:
    state = "loose knot";
    break;
  case KnotState::hole:
    state = "hole";
    break;
  case KnotState::filled:
    state = "filled knot";
    break;
  }
  return state + ", " + told(knot.diameter, told_thickness, units) +
         (knot.direction == KnotDirection::through  ? ""
          : knot.direction == KnotDirection::across ? ", lying across the limb"
                                                    : ", a spike from the edge") +
         off_middle(knot.off_centre, units) + ", in ";
}

std::string split_state(const GluePatch &patch)
{
  return patch.filled() ? "filled " : patch.strength == 0. ? "open " : fmt::format("{:.0f} % glued ", patch.strength / percent);
}

std::string slant_words(double slant, int dimension)
{
  if (slant == 0.)
    return {};
  return fmt::format(", slanting {:.0f} degrees across the width (nearer the back on {}{})", std::abs(slant) / degree,
                     side_words(slant), dimension == 2 ? "; not in the side view" : "");
}

std::string glue_words(const GluePatch &patch, Units units)
{
  std::string text = patch.filled()         ? "filled patch"
                     : patch.strength == 0. ? "open patch"
                                            : fmt::format("glue at {:.0f} % strength", patch.strength / percent);
  if (patch.width_share < 1.)
    text += fmt::format(" over {:.0f} % of the width{}", patch.width_share / percent, off_middle(patch.across, units));
  return text + " between ";
}

double change(double with, double without)
{
  return (with / without - 1.) / percent;
}

std::string more_or_less(double changed)
{
  if (std::abs(changed) < 0.05)
    return "the same";
  return fmt::format("{:.1f} % {}", std::abs(changed), changed < 0. ? "less" : "more");
}

// How the bow beside differs: "without it", of all flaws "without them".
std::string otherwise(BowBeside beside, const char *it = "it")
{
  return beside == BowBeside::sound ? std::string("without ") + it : "before the repair";
}

std::string bend_words(const FlawDifference &difference, BowBeside beside, Units units)
{
  if (!(difference.bend_ratio >= counts_from))
    return {};
  return fmt::format(" At {} from center, over one limb thickness, it bends {:.2f} times as much as {}{}.",
                     told(difference.bend_station, told_draw, units), difference.bend_ratio, otherwise(beside),
                     difference.bend_ratio >= hinge_ratio ? ": a hinge" : "");
}

std::string role_words(FlawRole role)
{
  switch (role)
  {
  case FlawRole::governs:
    return " It governs: without it, the bow's worst place would be elsewhere, or milder.";
  case FlawRole::counts:
    return " It matters, but does not decide what goes first.";
  case FlawRole::hidden:
    return " No effect worth mentioning (under 10 %).";
  }
  return {};
}

std::string event_part(const Case &bow_case, const DrawResults &results, const EventDifference &difference, BowBeside beside,
                       Units units)
{
  const std::string other = " (" + otherwise(beside, "them") + ": ";
  const Event &event = difference.with ? *difference.with : *difference.without;
  std::string text = happening_words(bow_case, event);
  if (!results.symmetric)
    text += " (" + limb_words(event.limb, false) + ")";
  const auto when = [&](const Event &e) { return (e.braced ? "" : "at ") + event_when(bow_case, e, units); };
  if (!difference.without)
    return text + ": " + when(event) + other + "never)";
  if (!difference.with)
    return text + ": never" + other + when(event) + ")";
  return text + ": " + when(event) + other + when(*difference.without) + ")";
}
} // namespace

std::string flaw_key(FlawKind kind)
{
  switch (kind)
  {
  case FlawKind::knot:
    return "knot";
  case FlawKind::sloping_grain:
    return "sloping_grain";
  case FlawKind::weak_glue:
    return "weak_glue";
  }
  return {};
}

std::optional<FlawKind> flaw_of_key(const std::string &key)
{
  for (const FlawKind kind : {FlawKind::knot, FlawKind::sloping_grain, FlawKind::weak_glue})
    if (flaw_key(kind) == key)
      return kind;
  return std::nullopt;
}

std::string beside_key(BowBeside beside)
{
  switch (beside)
  {
  case BowBeside::sound:
    return "sound";
  case BowBeside::as_found:
    return "as_found";
  }
  return {};
}

std::optional<BowBeside> beside_of_key(const std::string &key)
{
  for (const BowBeside beside : {BowBeside::sound, BowBeside::as_found})
    if (beside_key(beside) == key)
      return beside;
  return std::nullopt;
}

std::string role_key(FlawRole role)
{
  return role == FlawRole::governs ? "governs" : role == FlawRole::counts ? "counts" : "hidden";
}

std::string flaw_name(const Case &bow_case, LimbName limb, const Flaw &flaw, Units units)
{
  const LimbDescription &described = limb_of(bow_case, limb);
  const auto number = static_cast<std::size_t>(flaw.number);
  HotSpot names;
  names.limb = limb;
  names.lamination = flaw.lamination;
  names.glue_line = flaw.glue_line;
  names.station = 0.5 * (flaw.from + flaw.to);
  const std::string stretch = ", " + told(flaw.from, told_draw, units) + " to " + told(flaw.to, told_draw, units);
  switch (flaw.kind)
  {
  case FlawKind::knot:
    return knot_words(described.weak.knots.at(number), units) + layer_name(bow_case, names) + " at " +
           told(described.weak.knots.at(number).station, told_draw, units);
  case FlawKind::sloping_grain:
    return fmt::format("grain sloping 1 in {:.0f}, in {}{}", 1. / std::tan(std::abs(described.weak.regions.at(number).slope)),
                       layer_name(bow_case, names), stretch);
  case FlawKind::weak_glue:
  {
    const GlueLineDescription &line = described.glue.at(static_cast<std::size_t>(flaw.glue_line));
    return (line.of_split ? split_state(line.patches.at(number)) : glue_words(line.patches.at(number), units)) +
           layer_name(bow_case, names) + stretch + slant_words(line.slant, bow_case.solve.dimension);
  }
  }
  return {};
}

std::optional<HotSpot> worst_for_people(const Case &bow_case, const std::vector<HotSpot> &spots)
{
  const auto ranked = verdict_of(bow_case, spots).worst;
  return ranked.empty() ? std::nullopt : std::optional<HotSpot>(ranked.front());
}

FlawRole role_of(const Case &bow_case, const DrawResults &results, const FlawDifference &difference)
{
  const auto bow = worst_for_people(bow_case, results.worst), with = worst_for_people(bow_case, difference.with),
             without = worst_for_people(bow_case, difference.without);
  const bool harder = with && (!without || with->index >= counts_from * without->index);
  const bool here = bow && with && same_place(*with, *bow) && with->station == bow->station;
  if (harder && here)
    return FlawRole::governs;
  return harder || difference.bend_ratio >= counts_from ? FlawRole::counts : FlawRole::hidden;
}

std::string flaw_cost_sum(const Case &bow_case, const FlawCost &cost, Units units)
{
  std::string text =
      fmt::format("{} at {} of draw ({}: {}), {}", told(cost.weight_with, told_force, units),
                  draw_told(bow_case, cost.draw, units), otherwise(cost.beside, "them"),
                  told(cost.weight_without, told_force, units), more_or_less(change(cost.weight_with, cost.weight_without)));
  if (std::isfinite(cost.set_with) && std::isfinite(cost.set_without))
    text += fmt::format("; set {} ({}: {})", told(cost.set_with, told_length, units), otherwise(cost.beside, "them"),
                        told(cost.set_without, told_length, units));
  return text + ".";
}

std::vector<std::string> flaw_cost_lines(const Case &bow_case, const DrawResults &results, const FlawCost &cost, Units units)
{
  std::vector<std::string> lines;
  for (const FlawDifference &difference : cost.flaws)
  {
    std::string text = capital(limb_words(difference.limb, results.symmetric)) + ", " +
                       flaw_name(bow_case, difference.limb, difference.flaw, units) + ".";
    const auto with = worst_for_people(bow_case, difference.with), without = worst_for_people(bow_case, difference.without);
    if (with)
    {
      text += fmt::format(" Worst near it: {} at {}, {} from center", failure_words(bow_case, *with), strength_used(*with),
                          told(with->station, told_draw, units));
      if (without && without->mode == with->mode)
        text += fmt::format(" ({}: {}).", otherwise(cost.beside), strength_used(*without));
      else
        text += without ? fmt::format(" ({}: {} at {}).", otherwise(cost.beside), failure_words(bow_case, *without),
                                      strength_used(*without))
                        : ".";
    }
    text += bend_words(difference, cost.beside, units);
    if (cost.beside == BowBeside::sound)
      text += role_words(role_of(bow_case, results, difference));
    lines.push_back(text);
  }
  std::string events;
  for (const EventDifference &difference : event_differences(results, cost))
    events += (events.empty() ? "" : "; ") + event_part(bow_case, results, difference, cost.beside, units);
  if (!events.empty())
    lines.push_back("On the way to full draw: " + events + ".");
  return lines;
}

std::string flaw_cost_words(const Case &bow_case, const DrawResults &results)
{
  std::string text;
  for (const FlawCost &cost : results.flaw_costs)
  {
    if (!cost.complete)
    {
      text += wrapped(std::string("The bow ") + (cost.beside == BowBeside::sound ? "without its flaws" : "before the repair") +
                          " could not be drawn for comparison: " + cost.reason,
                      2) +
              "\n\n";
      continue;
    }
    text += wrapped((cost.beside == BowBeside::sound
                         ? "Cost of the flaws (same bow drawn without them): "
                         : "What the repair did (same bow drawn before it, fillings out and wraps off): ") +
                        flaw_cost_sum(bow_case, cost),
                    2) +
            "\n";
    for (const std::string &line : flaw_cost_lines(bow_case, results, cost))
      text += wrapped("  " + line, 4) + "\n";
    text += "\n";
  }
  if (text.empty() && (flawed(bow_case.bow.upper) || (bow_case.bow.lower && flawed(*bow_case.bow.lower))))
    text =
        wrapped(
            "Cost of the flaws: not run. [solve] sound_beside = \"yes\" also draws the bow without them, which doubles the time.",
            2) +
        "\n\n";
  return text;
}
} // namespace limbwright
