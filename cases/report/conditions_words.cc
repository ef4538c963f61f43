#include "cases/report/conditions_words.h"

#include "cases/report/words.h"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>

namespace limbwright
{
namespace
{
void add(std::string &list, const std::string &words)
{
  list += (list.empty() ? "" : ", ") + words;
}

std::string conditions_list(const Conditions &conditions)
{
  std::string list;
  if (conditions.moisture)
    add(list, fmt::format("{:.3g} % moisture", 100. * *conditions.moisture));
  if (conditions.temperature)
  {
    const double celsius = *conditions.temperature - 273.15;
    add(list, fmt::format("{:.0f} degC ({:.0f} degF)", celsius, 1.8 * celsius + 32.));
  }
  if (conditions.seconds)
    add(list, fmt::format("full draw held {:.3g} s", *conditions.seconds));
  if (conditions.quality)
    add(list, fmt::format("wood that only {:.3g} % of pieces fall short of", 100. * *conditions.quality));
  if (conditions.size)
    add(list, "limb size");
  return list;
}

/// "" where it stays within half a per cent.
void add_factor(std::string &list, const char *what, double used, double given)
{
  if (std::abs(used / given - 1.) > .005) // not so for a property that is not known
    add(list, fmt::format("{} x {:.2f}", what, used / given));
}
} // namespace

std::string conditions_words(const Case &bow_case)
{
  const BowInUse in_use = bow_in_use(bow_case);
  if (in_use.adjustments.empty())
    return {};
  std::string changed, left;
  for (const auto &[name, given] : bow_case.bow.materials)
  {
    const Material &used = in_use.bow.materials.at(name);
    std::string factors;
    add_factor(factors, "stiffness", used.constants.E_L, given.constants.E_L);
    add_factor(factors, "crushing", used.strengths.compression_L, given.strengths.compression_L);
    add_factor(factors, "tension", used.strengths.tension_L, given.strengths.tension_L);
    add_factor(factors, "shear", used.strengths.shear_LR, given.strengths.shear_LR);
    const std::string &key = name;
    if (!factors.empty())
      changed += fmt::format(" {}: {}.", key, factors);
    else if (std::any_of(in_use.adjustments.begin(), in_use.adjustments.end(), [&](const auto &a) { return a.material == key; }))
      add(left, key);
  }
  for (const auto &[name, adhesive] : bow_case.bow.adhesives)
    if (std::any_of(in_use.adjustments.begin(), in_use.adjustments.end(),
                    [&bound = adhesive](const auto &a) { return a.material == bound.name; }))
      add(left, name);
  std::string text = "Conditions of use: " + conditions_list(bow_case.conditions) + "." +
                     (changed.empty() ? "" : " Compared with the standard tests:") + changed;
  if (!left.empty())
    text += " Unchanged, no data: " + left + ".";
  for (const std::string &name : in_use.soft_glues)
    text += " At this temperature " + name + " softens: do not count on the glue strengths shown here.";
  return wrapped(text + " Sources are in summary.json.", 2) + "\n\n";
}
} // namespace limbwright
