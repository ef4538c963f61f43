#include "cases/report/answer_parts.h"

#include "cases/report/output_units.h"
#include "cases/report/split_words.h"
#include "cases/report/trade_figures.h"
#include "cases/report/words.h"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>

namespace limbwright
{
std::string number(double value, double size_of_unit, const char *unit, int decimals)
{
  return std::isfinite(value) ? fmt::format("{:.{}f} {}", value / size_of_unit, decimals, unit) : std::string("not known");
}

std::string draw_told(const Case &bow_case, double draw, Units units)
{
  return told(draw + convention_offset(bow_case), told_draw, units);
}

std::string load_and_limit(const HotSpot &spot, Units units)
{
  if (!std::isfinite(spot.value) || !std::isfinite(spot.limit) || spot.mode == FailureMode::interaction ||
      spot.mode == FailureMode::glue_mixed || spot.mode == FailureMode::splinter || spot.mode == FailureMode::slanting_grain)
    return {};
  if (measure_of(spot.mode) == Measure::energy)
    return ": " + energy_words(spot.value, spot.limit, units);
  if (measure_of(spot.mode) == Measure::strain)
    return fmt::format(": strain {:.2f} of {:.2f} %", std::abs(spot.value) / percent, spot.limit / percent);
  const double value = std::abs(spot.value);
  const bool weak = spot.limit < 10. * ksi; // glue, or across the grain
  const auto metric = weak ? fmt::format("{:.2f} of {:.1f} MPa", value / megapascal, spot.limit / megapascal)
                           : fmt::format("{:.0f} of {:.0f} MPa", value / megapascal, spot.limit / megapascal);
  if (units == Units::metric)
    return ": " + metric;
  const auto trade = weak ? fmt::format("{:.0f} of {:.0f} psi", value / psi, spot.limit / psi)
                          : fmt::format("{:.1f} of {:.1f} ksi", value / ksi, spot.limit / ksi);
  return ": " + trade + " (" + metric + ")";
}

std::string when_it_fails(const Case &bow_case, const DrawResults &results, const HotSpot &spot, Units units)
{
  if (spot.draw_at_one)
    return "the index reaches one at " + draw_told(bow_case, *spot.draw_at_one, units) + " of draw" +
           (units == Units::trade ? " (" + draw_told(bow_case, *spot.draw_at_one, Units::metric) + ")" : std::string());
  if (spot.index >= 1.)
    return "the index is past one";
  return results.complete ? "the index stays below one up to full draw" : "the index is below one at the last good draw length";
}

const HotSpot *worst_of(const std::vector<HotSpot> &spots, FailureMode mode)
{
  const HotSpot *worst = nullptr;
  for (const auto &spot : spots)
    if (spot.mode == mode && (worst == nullptr || spot.index > worst->index))
      worst = &spot;
  return worst;
}

std::string event_when(const Case &bow_case, const Event &event, Units units)
{
  return event.braced ? std::string("braced") : draw_told(bow_case, event.draw, units);
}

std::string event_what(const Case &bow_case, const DrawResults &results, const Event &event, Units units)
{
  if (event.kind == Event::Kind::grows_by_itself)
    return event_words(event.kind);
  const std::string layer = layer_name(bow_case, event);
  std::string text = fmt::format("{}: {}, {} from the middle of the handle", happening_words(bow_case, event),
                                 limb_words(event.limb, results.symmetric), told(event.station, told_draw, units));
  if (!layer.empty())
    text += fmt::format(", {}{}", event.glue_line >= 0 && !in_split(bow_case, event) ? "glue line " : "", layer);
  return text;
}

std::string belly_words(const Case &bow_case, const DrawResults &results, Units units)
{
  const auto *set = worst_of(results.worst, FailureMode::belly_set);
  const auto *crushing = worst_of(results.worst, FailureMode::belly_crushing);
  const auto *shown = crushing != nullptr ? crushing : set;
  if (shown == nullptr)
    return {};
  std::string text = fmt::format("Belly: strain {:.2f} % at {}.", std::abs(shown->value) / percent,
                                 place_words(bow_case, *shown, results.symmetric, units));
  if (crushing != nullptr)
    text +=
        fmt::format(" Crushing index {:.2f}: {}. That index is the strain over the one at which this wood reaches its strength "
                    "in bending; the bands of the words are ours.",
                    crushing->index, belly_verdict(crushing->index));
  if (set != nullptr)
    text += fmt::format(" Set index {:.2f}: strain over the strain at which the wood crushes in the standard test.", set->index);
  if (!bow_case.solve.wood_yields)
    text += " The wood was told to stay elastic: this strain is an estimate, and no verdict.";
  return wrapped(text, 2) + "\n\n";
}

std::string balance_words(const Case &bow_case, const DrawResults &results)
{
  const HotSpot *back = nullptr, *belly_spot = worst_of(results.worst, FailureMode::belly_crushing);
  for (const auto &spot : results.worst)
    if (spot.mode == FailureMode::tension_along && (back == nullptr || spot.index > back->index))
      back = &spot;
  if (back == nullptr || belly_spot == nullptr)
    return {};
  const bool belly_rules = belly_spot->index >= back->index;
  // Layers near their limit in tension may go first although the belly's index is the greater.
  std::string near;
  for (const auto &spot : results.worst)
    if (spot.mode == FailureMode::tension_along && spot.index > comfortable_index)
      near += fmt::format("{}{} {:.2f}", near.empty() ? "" : ", ", layer_name(bow_case, spot), spot.index);
  return wrapped(fmt::format("Balance: the {} governs. Belly index {:.2f} ({}), back index {:.2f} ({}). {}",
                             belly_rules ? "belly" : "back", belly_spot->index, layer_name(bow_case, *belly_spot), back->index,
                             layer_name(bow_case, *back),
                             !belly_rules   ? "A back breaks without warning."
                             : near.empty() ? "A belly shows wrinkles or set before it fails."
                                            : "But tension is near its limit too (" + near +
                                                  "): the back may go first, and a back breaks without warning."),
                 2) +
         "\n\n";
}

std::string energy_words(double value, double limit, Units units)
{
  // Two figures at least.
  const auto figure = [](double energy) { return energy < 10. ? fmt::format("{:.2g}", energy) : fmt::format("{:.0f}", energy); };
  const std::string metric = figure(value) + " of " + figure(limit) + " J/m2";
  if (units == Units::metric)
    return metric;
  return figure(value / inch_pound_per_square_inch) + " of " + figure(limit / inch_pound_per_square_inch) + " in-lb per sq in (" +
         metric + ")";
}

std::string event_list(const Case &bow_case, const DrawResults &results)
{
  if (results.events.empty())
    return {};
  std::string text = "On the way to full draw\n";
  for (const Event &event : results.events)
    text += fmt::format("  {:<9}", event_when(bow_case, event)) + wrapped(event_what(bow_case, results, event), 11, 77) + "\n";
  return text + "\n";
}

std::string after_the_draw(const DrawResults &results, Units units)
{
  const LetDown &down = results.let_down;
  if (down.cycles.empty())
    return down.reason.empty() ? std::string() : wrapped("Letting down was not finished: " + down.reason, 2) + "\n\n";
  const DrawCycle &first = down.cycles.front(), &last = down.cycles.back();
  std::string text = "After the draw: ";
  if (down.complete)
  {
    const auto set = [units](double length)
    {
      const auto shown = told(length, told_length, units);
      return units == Units::trade ? shown + " (" + told(length, told_length, Units::metric) + ")" : shown;
    };
    text += results.symmetric ? "set " + set(down.set_upper)
                              : "set " + set(down.set_upper) + " upper, " + set(down.set_lower) + " lower";
    text += ": so much nearer to the archer stand the unstrung nocks. ";
  }
  else
    text += "letting down was not finished: " + down.reason + ". ";
  if (down.cycles.size() > 1)
    text += fmt::format("Drawn again it weighs {} at full draw. ", told(last.draw_weight, told_force, units));
  if (first.parted > 0.)
  {
    text += fmt::format("By the first full draw {} of glue line had let go{}", told(first.parted, told_length, units),
                        results.symmetric ? " in each limb" : "");
    text += down.cycles.size() > 1
                ? fmt::format(", by full draw {} {}. ", down.cycles.size(), told(last.parted, told_length, units))
                : std::string(". ");
  }
  text += fmt::format("Of the first draw's {} the bow keeps {:.1f} %", told(first.work, told_energy, units),
                      first.work > 0. ? std::max(0., first.lost() / first.work) / percent : 0.);
  text += down.cycles.size() > 1
              ? fmt::format(", of draw {}'s {:.1f} %. ", down.cycles.size(), std::max(0., last.lost() / last.work) / percent)
              : std::string(". ");
  text += fmt::format("With the same string it is then braced {}. ", told(last.brace_height, told_length, units));
  text += "Only crushing and parting glue count in this: what long holding adds, and what rest gives back, is not in it. Bowyers "
          "call less than an inch of set good and more than two poor (common practice, no source).";
  return wrapped(text, 2) + "\n\n";
}

std::string caution_words()
{
  return "Caution: these are estimates for a maker's judgement, not a promise. Drawn bows and broken limbs hurt people: tiller "
         "by "
         "short draws, stand clear of the limbs, and never draw farther than the bow in hand has shown it bears.";
}
} // namespace limbwright
