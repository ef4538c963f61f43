#include "cases/report/answer_parts.h"
#include "cases/report/output_units.h"
#include "cases/report/words.h"
#include "cases/study/pounds.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <cmath>

namespace limbwright
{
std::string pounds_words(const Case &bow_case, const Resizing &what, const Pounds &pounds, double lost)
{
  const bool alike = !bow_case.bow.lower;
  const InchEffect *most = nullptr;
  for (const InchEffect &effect : pounds.inches)
    if (most == nullptr || effect.thickness.weight < most->thickness.weight)
      most = &effect;
  std::string text = (bow_case.title.empty() ? bow_case.name : bow_case.title) + "\n\n";
  text += "  " +
          wrapped(fmt::format(
                      "It weighs {}. Most of that sits at {:.0f} in from the middle of the handle: 0.005 in off the stack over "
                      "that inch takes {:.2f} lb.",
                      number(pounds.base.weight, pound_force, "lb", 1), most == nullptr ? 0. : most->station / inch,
                      most == nullptr ? 0. : -most->thickness.weight / pound_force),
                  2);
  text +=
      "\n  " +
      wrapped(fmt::format("What 0.005 in off the thickness ({}) or 1/32 in off the whole width does at each inch{}, tapering to "
                          "nothing an inch to either side; brace height kept. To first order, from one solution.",
                          fmt::join(what.laminations, ", "), alike ? " of both limbs" : ""),
              2) +
      "\n\n";
  text += fmt::format("  {:>10} |{:^32}|{:^32}\n", "", "0.005 in of thickness", "1/32 in of width");
  const std::string heads = alike ? fmt::format("{:>8}{:>8}{:>8}{:>8}", "lb", "belly", "back", "glue")
                                  : fmt::format("{:>8}{:>8}{:>8}{:>8}", "lb", "tiller", "belly", "back");
  text += fmt::format("  {:>10} |{}|{}\n", "at, in", heads, heads);
  const auto side = [&](const BowFigures &f)
  {
    const auto cell = [](double value, int decimals)
    { return std::isfinite(value) ? fmt::format("{:>+8.{}f}", value, decimals) : fmt::format("{:>8}", "-"); };
    return alike ? cell(f.weight / pound_force, 2) + cell(f.belly_index, 3) + cell(f.back_index, 3) + cell(f.glue_index, 3)
                 : cell(f.weight / pound_force, 2) + cell(f.tiller / inch, 3) + cell(f.belly_index, 3) + cell(f.back_index, 3);
  };
  for (const InchEffect &effect : pounds.inches)
    text += fmt::format("  {:>6}{:>4.0f} |{}|{}\n", alike ? "" : limb_key(effect.limb), effect.station / inch,
                        side(effect.thickness), side(effect.width));
  text += alike ? "  belly, back, glue: change of the worst index there is.\n"
                : "  tiller: upper less lower, at full draw, in. belly, back: change of the worst index there is.\n";
  text += fmt::format("\n  Ways to lose {}, least strain first (to first order)\n  {:<34}{:<32}{:>9}{:>8}{:>8}{:>8}\n",
                      number(lost, pound_force, "lb", 1), "", "", "strain", "belly", "back", "glue");
  for (const Route &route : pounds.routes)
    if (route.of_sense)
      text +=
          fmt::format("  {:<34}{:<32}{:>+7.1f} %{:>+8.3f}{:>+8.3f}{:>+8.3f}\n", route.words, route.how_much,
                      route.strain_cost / percent, route.change.belly_index, route.change.back_index, route.change.glue_index);
    else
      text += fmt::format("  {:<34}not by itself: {}\n", route.words, route.how_much);
  return text + "  strain: change of the largest strain along the grain; then of the worst indices.\n";
}
} // namespace limbwright
