#include "cases/report/answer_parts.h"

#include "cases/report/output_units.h"
#include "cases/report/split_words.h"
#include "cases/report/trade_figures.h"
#include "cases/report/verdict.h"
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
  if (!std::isfinite(spot.value) || !std::isfinite(spot.limit) || measure_of(spot.mode) == Measure::ratio)
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
  const auto *at_brace = braced(results);
  if (spot.draw_at_one && at_brace != nullptr && *spot.draw_at_one <= at_brace->point.draw)
    return "over 100 % already at brace";
  if (spot.draw_at_one)
    return "reaches 100 % at " + draw_told(bow_case, *spot.draw_at_one, units) + " of draw" +
           (units == Units::trade ? " (" + draw_told(bow_case, *spot.draw_at_one, Units::metric) + ")" : std::string());
  if (spot.index >= 1.)
    return "over 100 %";
  return results.complete ? "stays under 100 % to full draw" : "under 100 % at the last good draw length";
}

std::string averaging_words(const DrawResults &results, const HotSpot &spot)
{
  if (!spot.averaged)
    return {};
  if (spot.glue_line < 0)
    return "from the forces on the whole cross section, next to an end or a step";
  bool near_end = false;
  if (!results.snapshots.empty())
    for (const LimbSnapshot &limb : results.snapshots.back().limbs)
      for (const GlueState &glue : limb.glue)
        near_end = near_end || (limb.limb == spot.limb && glue.line == spot.glue_line && glue.near_end &&
                                std::abs(glue.station - spot.station) < 1e-9);
  return std::string("averaged over a short length of glue") + (near_end ? ", next to an end" : "");
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
  std::string text = fmt::format("{}: {}, {} from center", happening_words(bow_case, event),
                                 limb_words(event.limb, results.symmetric), told(event.station, told_draw, units));
  if (!layer.empty())
    text += fmt::format(", {}{}", event.glue_line >= 0 && !in_split(bow_case, event) ? "glue line " : "", layer);
  return text;
}

std::string belly_wood_words(const Case &bow_case, const DrawResults &results, Units units)
{
  const auto *set = worst_of(results.worst, FailureMode::belly_set);
  const auto *crushing = worst_of(results.worst, FailureMode::belly_crushing);
  const auto *shown = crushing != nullptr ? crushing : set;
  if (shown == nullptr)
    return {};
  std::string text = fmt::format("Wood compressed most: {}: strain {:.2f} %",
                                 place_words(bow_case, *shown, results.symmetric, units), std::abs(shown->value) / percent);
  if (crushing != nullptr)
    text += fmt::format(
        ", {} of its bending strength: {}. (Comfortable under {}, some set up to {}, then chrysals. These marks are our choice.)",
        strength_used(*crushing), belly_level_words(crushing->index), strength_used(belly_comfortable_index),
        strength_used(belly_holds_index));
  else
    text += ".";
  // Of the same layer, where the two differ.
  if (set != nullptr && (crushing == nullptr || set->lamination == crushing->lamination))
    text += fmt::format(" In the standard crushing test this wood fails at {:.2f} %; good bows go well past that.",
                        set->limit / percent);
  if (!bow_case.solve.wood_yields)
    text += " This run kept the wood elastic, so the strain is an estimate.";
  return wrapped(text, 2) + "\n\n";
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
    return down.reason.empty() ? std::string() : wrapped("The let-down did not finish: " + down.reason, 2) + "\n\n";
  const DrawCycle &first = down.cycles.front(), &last = down.cycles.back();
  std::string text = "After the draw: ";
  if (down.complete)
  {
    const auto set = [units](double length)
    {
      const auto shown = told(length, told_length, units);
      return units == Units::trade ? shown + " (" + told(length, told_length, Units::metric) + ")" : shown;
    };
    text += results.symmetric ? "set (string follow gained) " + set(down.set_upper)
                              : "set (string follow gained) " + set(down.set_upper) + " upper, " + set(down.set_lower) + " lower";
    text += ". ";
  }
  else
    text += "the let-down did not finish: " + down.reason + ". ";
  if (down.cycles.size() > 1)
    text += fmt::format("Drawn again, it pulls {} at full draw. ", told(last.draw_weight, told_force, units));
  if (first.parted > 0.)
  {
    text += fmt::format("By the first full draw, {} of glue line has let go{}", told(first.parted, told_length, units),
                        results.symmetric ? " in each limb" : "");
    text += down.cycles.size() > 1 ? fmt::format("; by draw {}, {}. ", down.cycles.size(), told(last.parted, told_length, units))
                                   : std::string(". ");
  }
  text +=
      fmt::format("The limbs lose {:.1f} % of the first draw's {}",
                  first.work > 0. ? std::max(0., first.lost() / first.work) / percent : 0., told(first.work, told_energy, units));
  text += down.cycles.size() > 1
              ? fmt::format(" and {:.1f} % of draw {}'s. ", std::max(0., last.lost() / last.work) / percent, down.cycles.size())
              : std::string(". ");
  text += fmt::format("Restrung with the same string, its brace height is {}. ", told(last.brace_height, told_length, units));
  text += "This counts only crushed wood and failed glue; it leaves out set from long holding, and recovery overnight. Bowyers "
          "call under an inch of set good and over two inches poor (common practice, no source).";
  return wrapped(text, 2) + "\n\n";
}

std::string caution_words()
{
  return "Caution: these are estimates for a maker's judgment, not a promise. Drawn bows and broken limbs hurt people. Tiller by "
         "short draws, stand clear of the limbs, and never draw farther than the bow in your hands has shown it can take.";
}
} // namespace limbwright
