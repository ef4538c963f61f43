#include "cases/report/answer_parts.h"
#include "cases/report/output_units.h"
#include "cases/report/words.h"
#include "cases/study/pounds.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <cmath>

namespace limbwright
{
namespace
{
/// A signed change in a cell of eight; what rounds to nothing has no sign.
std::string change_told(double value, int decimals)
{
  if (!std::isfinite(value))
    return fmt::format("{:>8}", "-");
  const std::string text = fmt::format("{:+.{}f}", value, decimals);
  return fmt::format("{:>8}", text.find_first_of("123456789") == std::string::npos ? text.substr(1) : text);
}
} // namespace

std::string pounds_words(const Case &bow_case, const Resizing &what, const Pounds &pounds, double lost)
{
  const bool alike = !bow_case.bow.lower;
  const InchEffect *most = nullptr;
  for (const InchEffect &effect : pounds.inches)
    if (most == nullptr || effect.thickness.weight < most->thickness.weight)
      most = &effect;
  std::string text = (bow_case.title.empty() ? bow_case.name : bow_case.title) + "\n\n";
  text +=
      "  " +
      wrapped(
          fmt::format(
              "It pulls {}. Most of that sits {:.0f} in from center: 0.005 in off the stack over that inch takes off {:.2f} lb.",
              number(pounds.base.weight, pound_force, "lb", 1), most == nullptr ? 0. : most->station / inch,
              most == nullptr ? 0. : -most->thickness.weight / pound_force),
          2);
  text +=
      "\n  " +
      wrapped(fmt::format("What it does to take 0.005 in off the thickness ({}) or 1/32 in off the whole width at each inch{}, "
                          "tapering to nothing an inch to either side. The brace height stays. Good for small changes only.",
                          fmt::join(what.laminations, ", "), alike ? " of both limbs" : ""),
              2) +
      "\n\n";
  text += fmt::format("  {:>10} |{:^32}|{:^32}\n", "", "0.005 in of thickness", "1/32 in of width");
  const std::string heads = alike ? fmt::format("{:>8}{:>8}{:>8}{:>8}", "lb", "back %", "belly %", "glue %")
                                  : fmt::format("{:>8}{:>8}{:>8}{:>8}", "lb", "tiller", "back %", "belly %");
  text += fmt::format("  {:>10} |{}|{}\n", "at, in", heads, heads);
  const auto side = [&](const BowFigures &f)
  {
    const std::string weight = change_told(f.weight / pound_force, 2), back = change_told(f.back_index / percent, 1),
                      belly = change_told(f.belly_index / percent, 1);
    return alike ? weight + back + belly + change_told(f.glue_index / percent, 1)
                 : weight + change_told(f.tiller / inch, 3) + back + belly;
  };
  for (const InchEffect &effect : pounds.inches)
    text += fmt::format("  {:>6}{:>4.0f} |{}|{}\n", alike ? "" : limb_key(effect.limb), effect.station / inch,
                        side(effect.thickness), side(effect.width));
  text += alike ? "  back, belly, glue: change in % of strength used, at the worst place.\n"
                : "  tiller: upper minus lower at full draw, in. back, belly: change in % of strength used,\n"
                  "  at the worst place.\n";
  text += fmt::format("\n  Ways to lose {}, least strain first (good for small changes only)\n  {:<46}{:>8}{:>8}{:>8}{:>8}\n",
                      number(lost, pound_force, "lb", 1), "", "strain %", "back %", "belly %", "glue %");
  for (const Route &route : pounds.routes)
  {
    constexpr std::size_t wide = 46;
    std::string words = route.words + ": " + route.how_much;
    if (route.of_sense)
    {
      if (words.size() > wide)
        words += "\n  " + std::string(wide, ' ');
      text += fmt::format("  {:<{}}{}{}{}{}\n", words, wide, change_told(route.strain_cost / percent, 1),
                          change_told(route.change.back_index / percent, 1), change_told(route.change.belly_index / percent, 1),
                          change_told(route.change.glue_index / percent, 1));
    }
    else
      text += "  " + wrapped(words, 4) + "\n";
  }
  return text + "  strain: change in the largest strain along the grain.\n";
}
} // namespace limbwright
