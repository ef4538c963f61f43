#include "cases/report/sideways_words.h"

#include "cases/report/answer_parts.h"
#include "cases/report/output_units.h"
#include "cases/report/text_layout.h"

#include <fmt/core.h>

#include <cmath>

namespace limbwright
{
namespace
{
// How far a pound moves a tip aside.
std::string aside(const SidewaysHold &hold)
{
  return number(pound_force / hold.stiffness, inch, "in", 2) + " (" + number(pound_force / hold.stiffness, millimetre, "mm", 1) +
         ") " + (hold.stage == "full draw" ? "at full draw" : hold.stage);
}

std::string standing(const SidewaysHold &hold)
{
  const std::string when = hold.stage == "full draw" ? "At full draw" : capital(hold.stage);
  if (std::isnan(hold.critical_factor))
    return when + " no pull was found at which the limbs would give way by themselves.";
  const char *how = hold.share_across > 0.5 ? "twist out of plane" : "buckle in the plane of the draw";
  if (hold.critical_factor < 1.)
    return fmt::format("{} the limbs do not stand: they {} by themselves at {:.2f} of the pull they bear.", when, how,
                       hold.critical_factor);
  // What is out of line grows by 1/(1 - 1/factor) (Timoshenko and Gere 1961, sec. 1.12, of columns).
  return fmt::format("{} the limbs would {} by themselves at {:.2f} times the pull they bear; until then whatever is out of line "
                     "is made some {:.2f} times as great.",
                     when, how, hold.critical_factor, hold.critical_factor / (hold.critical_factor - 1.));
}
} // namespace

std::string sideways_words(const Case &bow_case, const DrawResults &results)
{
  if (!bow_case.solve.sideways)
    return {};
  if (bow_case.solve.dimension == 2)
    return wrapped("How the bow stands sideways was asked for ([solve] sideways_stability), but only a solid has a width to tell "
                   "it by: draw it with --dim 3.",
                   0) +
           "\n\n";
  if (results.sideways.empty())
    return {};
  std::string text = "A pound across the tip, with handle and hand held still, moves it ";
  for (std::size_t i = 0; i < results.sideways.size(); ++i)
    text += (i == 0 ? "" : i + 1 == results.sideways.size() ? " and " : ", ") + aside(results.sideways[i]);
  text += ".";
  for (const SidewaysHold &hold : results.sideways)
    if (hold.stage != "unstrung")
      text += " " + standing(hold);
  return "Sideways\n  " + wrapped(text, 2, 86) + "\n\n";
}
} // namespace limbwright
