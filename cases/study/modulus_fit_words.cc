#include "cases/report/output_units.h"
#include "cases/report/text_layout.h"
#include "cases/study/modulus_fit.h"

#include <fmt/format.h>

#include <cmath>

namespace limbwright
{
namespace
{
std::string value_words(const FittedMeasurement &one, double value)
{
  return one.weight ? fmt::format("{:.1f} lb", value / pound_force) : fmt::format("{:.3f} in", value / inch);
}

std::string paragraph(const std::string &text)
{
  return "  " + wrapped(text, 2) + "\n";
}

std::string remarks(const ModulusFit &fit)
{
  std::string text;
  for (const FittedModulus &m : fit.moduli)
  {
    if (m.at_bound())
      text += paragraph(fmt::format("{} is AT THE LIMIT of the search ({:+.0f} to {:+.0f} %): the measurements ask for more than "
                                    "the material can be. Something else is not as described.",
                                    m.material, 100. * (m.lowest - 1.), 100. * (m.highest - 1.)));
    else if (m.implausible())
      text += paragraph(
          fmt::format("{} is IMPLAUSIBLE: more than two standard deviations off the table. Measure thicknesses, brace height and "
                      "draw length again before you believe it; 0.005 in of core is about 5 % of its stiffness.",
                      m.material));
    else if (m.not_told())
      text += paragraph(fmt::format("The measurements say almost nothing about {}: it stays close to the table.", m.material));
  }
  for (const auto &[i, j] : fit.not_apart)
    text += paragraph(
        fmt::format("The measurements CANNOT TELL {} FROM {}: more of one and less of the other would measure the same. The "
                    "change was split by how much each usually scatters. Flex a strip of one of them to separate the two.",
                    fit.moduli[i].material, fit.moduli[j].material));
  for (const FittedMeasurement &one : fit.measurements)
    if (std::abs(one.off()) > 3.)
      text += paragraph(fmt::format("The {} DOES NOT FIT: off by {:.0f} times its accuracy. Measure it again, or look for "
                                    "something that is not as described.",
                                    one.words, std::abs(one.off())));
  return text;
}
} // namespace

std::string modulus_fit_words(const Case &bow_case, const ModulusFit &fit)
{
  std::string text = (bow_case.title.empty() ? bow_case.name : bow_case.title) + "\n\n";
  if (!fit.complete)
    return text + paragraph("The bow was not fitted: " + fit.reason + ".");
  text += fmt::format("  {:<26}{:>12}{:>12}{:>12}\n", "Moduli", "changed by", "known to", "expected");
  for (const FittedModulus &m : fit.moduli)
    text += fmt::format("  {:<26}{:>+10.1f} %{:>8}{:.1f} %{:>8}{:.0f} %\n", m.material, 100. * (m.factor - 1.), "+-",
                        100. * m.known_to, "+-", 100. * m.expected);
  text += fmt::format("\n  {:<26}{:>12}{:>12}{:>12}{:>12}\n", "Measurement", "measured", "described", "fitted", "off by");
  for (const FittedMeasurement &one : fit.measurements)
    text += fmt::format("  {:<26}{:>12}{:>12}{:>12}{:>+12.1f}\n", one.words, value_words(one, one.measured),
                        value_words(one, one.before), value_words(one, one.after), one.off());
  text += paragraph("Off by: in multiples of each accuracy. Known to, expected: standard deviations after and before measuring. "
                    "The expected ones are for species and products; state your own with --scatter.");
  const std::string found = remarks(fit);
  text += found.empty() ? std::string{} : "\n" + found;
  return text + fmt::format("\n  Found in {} full runs. Strengths stay as they were.\n", fit.solutions);
}
} // namespace limbwright
