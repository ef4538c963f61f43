#include "cases/report/answer_parts.h"
#include "cases/report/output_units.h"
#include "cases/report/text_layout.h"
#include "cases/study/strip_match.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <cmath>

namespace limbwright
{
namespace
{
/// Thickness where the strip lies at a station; as designed where it was not measured. [m]
double thickness_at(const Case &bow_case, const MeasuredStrip &strip, double station)
{
  if (!strip.thickness.empty())
    return strip.thickness.at(station);
  for (const LaminationDescription &lamination : bow_case.bow.upper.laminations)
    if (lamination.name == strip.lamination)
      return lamination.thickness.at(station);
  return not_known;
}

std::string strip_words(const Case &bow_case, const StripMatch &match, std::size_t i)
{
  const MeasuredStrip &strip = bow_case.measured.strips[i];
  std::string text = strip.name;
  const double middle = thickness_at(bow_case, strip, strip.middle);
  text += fmt::format(" ({:.4f} in", middle / inch);
  if (strip.flexed())
    text += fmt::format(", {:+.0f} %", 100. * (match.effects[i].modulus_share - 1.));
  return text + ")";
}

std::string tiller_words(double tiller)
{
  return std::abs(tiller) < 0.5 * inch / 64.
             ? std::string("none")
             : fmt::format("{:.2f} in more {}", std::abs(tiller) / inch, tiller > 0. ? "at the upper limb" : "at the lower limb");
}

std::string core_words(const StripMatch &match)
{
  const auto limb = [&](std::size_t k)
  {
    return fmt::format("{} {:.4f} in {} {}{}", match.amount[k] < 0. ? "grind" : "add", std::abs(match.amount[k]) / inch,
                       match.amount[k] < 0. ? "off" : "to", match.core.laminations.size() > 1 ? "each of " : "",
                       fmt::join(match.core.laminations, ", "));
  };
  std::string text = fmt::format("Upper limb: {}. Lower limb: {}. ", limb(0), limb(1));
  if (match.amount[0] > 0.5 * thou || match.amount[1] > 0.5 * thou)
    text += "You cannot grind wood on: take thicker strips, or add a veneer of that thickness. ";
  return text;
}
} // namespace

std::string strip_match_words(const Case &bow_case, const StripMatch &match)
{
  std::string text = (bow_case.title.empty() ? bow_case.name : bow_case.title) + "\n\n";
  if (!match.complete)
    return text + "  " + wrapped("The strips were not matched: " + match.reason + ".", 2) + "\n";
  text += fmt::format("  {:<20}{:<26}{:<26}\n", "Which strip where", "upper limb", "lower limb");
  for (const StripPair &pair : match.pairs)
    text += fmt::format("  {:<20}{:<26}{:<26}\n", pair.lamination, strip_words(bow_case, match, pair.strip[0]),
                        strip_words(bow_case, match, pair.strip[1]));
  text += "  " +
          wrapped("In parentheses: thickness at the middle of the strip and, if it was flexed, how much stiffer it is than the "
                  "table's wood, moisture included.",
                  2) +
          "\n\n";
  const std::string at = draw_told(bow_case, bow_case.bow.full_draw);
  text += "  " +
          wrapped(fmt::format("Glued up as they are, the bow pulls {} at {} (aim: {}). Distance to the string at full draw, "
                              "beyond the design: {}.",
                              number(match.paired_weight, pound_force, "lb", 1), at, number(match.aim, pound_force, "lb", 1),
                              tiller_words(match.paired_tiller - match.nominal_tiller)),
                  2) +
          "\n\n";
  text += "  " + wrapped("Corrected core. " + core_words(match), 2) + "\n";
  text += "  " +
          wrapped(fmt::format("{}t then pulls {}; distance to the string, beyond the design: {}.",
                              match.reached ? "I" : "The aim CANNOT BE REACHED this way; at the closest, i",
                              number(match.weight, pound_force, "lb", 1), tiller_words(match.tiller - match.nominal_tiller)),
                  2) +
          "\n";
  text += fmt::format("  Found in {} full runs.\n\n", match.solutions);
  text += fmt::format("  {:<16}{:<20}{:>12}{:>12}{:>14}\n", "Strip", "for", "lb, upper", "lb, lower", "tiller, in");
  for (std::size_t i = 0; i < match.effects.size(); ++i)
  {
    const MeasuredStrip &strip = bow_case.measured.strips[i];
    const StripEffect &effect = match.effects[i];
    text += fmt::format("  {:<16}{:<20}{:>+12.2f}{:>+12.2f}{:>+14.3f}\n", strip.name, strip.lamination,
                        effect.weight[0] / pound_force, effect.weight[1] / pound_force, effect.tiller[0] / inch);
  }
  return text + "  " +
         wrapped("Change in draw weight with the strip in one limb, and in tiller with it in the upper limb. Good for small "
                 "changes only.",
                 2) +
         "\n";
}
} // namespace limbwright
