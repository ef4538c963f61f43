#include "cases/report/answer_parts.h"

#include "cases/report/output_units.h"
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

std::string draw_told(const Case &bow_case, double draw)
{
  return number(draw + convention_offset(bow_case), inch, "in", 1);
}

const HotSpot *worst_of(const std::vector<HotSpot> &spots, FailureMode mode)
{
  const HotSpot *worst = nullptr;
  for (const auto &spot : spots)
    if (spot.mode == mode && (worst == nullptr || spot.index > worst->index))
      worst = &spot;
  return worst;
}

namespace
{
/// "12.3 in of draw", or "at brace".
std::string when(const Case &bow_case, const Event &event)
{
  return event.braced ? std::string("braced") : draw_told(bow_case, event.draw);
}
} // namespace

std::string belly_words(const Case &bow_case, const DrawResults &results)
{
  const auto *set = worst_of(results.worst, FailureMode::belly_set);
  const auto *crushing = worst_of(results.worst, FailureMode::belly_crushing);
  const auto *told = crushing != nullptr ? crushing : set;
  if (told == nullptr)
    return {};
  std::string text = fmt::format("Belly: strain {:.2f} % at {}.", std::abs(told->value) / percent,
                                 place_words(bow_case, *told, results.symmetric));
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

std::string energy_words(double value, double limit)
{
  return fmt::format("{:.2f} of {:.1f} in-lb per sq in ({:.0f} of {:.0f} J/m2)", value / inch_pound_per_square_inch,
                     limit / inch_pound_per_square_inch, value, limit);
}

std::string patch_words(const Case &bow_case, const DrawResults &results)
{
  if (results.snapshots.empty())
    return {};
  std::string text;
  for (const LimbSnapshot &limb : results.snapshots.back().limbs)
    for (const PatchEnd &end : limb.patch_ends)
    {
      HotSpot names;
      names.limb = limb.limb;
      names.glue_line = end.line;
      std::string told =
          fmt::format("  {:.1f} in, {}, {}, end toward the {}: ", end.station / inch, limb_words(limb.limb, results.symmetric),
                      layer_name(bow_case, names), end.toward_tip ? "tip" : "handle");
      if (end.toughness > 0.)
        told += fmt::format("index {:.2f}, {}, {:.0f} % of it sliding; ahead of it the glue softens over {:.2f} in", end.index(),
                            energy_words(end.total(), end.toughness), end.sliding_share() / percent, end.process_zone / inch);
      else
        told += fmt::format("{:.2f} in-lb per sq in ({:.0f} J/m2); what growing takes is not known of this glue",
                            end.total() / inch_pound_per_square_inch, end.total());
      text += wrapped(told, 4) + "\n";
    }
  if (text.empty())
    return {};
  return wrapped("Ends of open patches: the energy that growing longer would set free, of what parting the glue takes (the index "
                 "is the root of their ratio, and grows with the load). It is sound where the length over which the glue softens "
                 "is short beside the patch; glue told to part shows by itself whether it grows.",
                 2) +
         "\n" + text + "\n";
}

std::string event_list(const Case &bow_case, const DrawResults &results)
{
  if (results.events.empty())
    return {};
  std::string text = "On the way to full draw\n";
  for (const Event &event : results.events)
  {
    const std::string layer = layer_name(bow_case, event);
    std::string place = fmt::format("{}, {:.1f} in from the middle of the handle", limb_words(event.limb, results.symmetric),
                                    event.station / inch);
    if (!layer.empty())
      place += fmt::format(", {}{}", event.glue_line >= 0 ? "glue line " : "", layer);
    text +=
        fmt::format("  {:<9}", when(bow_case, event)) +
        wrapped(event_words(event.kind) + (event.kind == Event::Kind::grows_by_itself ? std::string() : ": " + place), 11, 77) +
        "\n";
  }
  return text + "\n";
}

std::string after_the_draw(const DrawResults &results)
{
  const LetDown &down = results.let_down;
  if (down.cycles.empty())
    return down.reason.empty() ? std::string() : wrapped("Letting down was not finished: " + down.reason, 2) + "\n\n";
  const DrawCycle &first = down.cycles.front(), &last = down.cycles.back();
  std::string text = "After the draw: ";
  if (down.complete)
  {
    const auto set = [](double length)
    { return number(length, inch, "in", 2) + " (" + number(length, millimetre, "mm", 0) + ")"; };
    text += results.symmetric ? "set " + set(down.set_upper)
                              : "set " + set(down.set_upper) + " upper, " + set(down.set_lower) + " lower";
    text += ": so much nearer to the archer stand the unstrung nocks. ";
  }
  else
    text += "taking the string off was not finished: " + down.reason + ". ";
  if (down.cycles.size() > 1)
    text += fmt::format("Drawn again it weighs {} at full draw. ", number(last.draw_weight, pound_force, "lb", 1));
  if (first.parted > 0.)
  {
    const auto gone = [&](double length)
    { return number(length, inch, "in", 2) + " (" + number(length, millimetre, "mm", 0) + ")"; };
    text += fmt::format("By the first full draw {} of glue line had let go{}", gone(first.parted),
                        results.symmetric ? " in each limb" : "");
    text +=
        down.cycles.size() > 1 ? fmt::format(", by full draw {} {}. ", down.cycles.size(), gone(last.parted)) : std::string(". ");
  }
  text += fmt::format("Of the first draw's {} the bow keeps {:.1f} %", number(first.work, foot_pound, "ft-lb", 1),
                      first.work > 0. ? std::max(0., first.lost() / first.work) / percent : 0.);
  text += down.cycles.size() > 1
              ? fmt::format(", of draw {}'s {:.1f} %. ", down.cycles.size(), std::max(0., last.lost() / last.work) / percent)
              : std::string(". ");
  text += fmt::format("With the same string it is then braced {}. ", number(last.brace_height, inch, "in", 2));
  text += "Only crushing and parting glue count in this: what long holding adds, and what rest gives back, is not in it. Bowyers "
          "call less than an "
          "inch of set good and more than two poor (common practice, no source).";
  return wrapped(text, 2) + "\n\n";
}
} // namespace limbwright
