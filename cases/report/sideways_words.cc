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
    return when + " no load was found at which the limbs would buckle or twist.";
  const char *how = hold.share_across > 0.5 ? "twist out of plane" : "buckle in the plane of the draw";
  if (hold.critical_factor < 1.)
    return fmt::format("{} the limbs are unstable: they {} at {:.2f} times the load they carry.", when, how,
                       hold.critical_factor);
  // What is out of line grows by 1/(1 - 1/factor) (Timoshenko and Gere 1961, sec. 1.12, of columns).
  return fmt::format("{} the limbs would {} at {:.2f} times the load they carry. Until then, anything out of line grows about "
                     "{:.2f} times as large.",
                     when, how, hold.critical_factor, hold.critical_factor / (hold.critical_factor - 1.));
}
} // namespace

std::string sideways_words(const Case &bow_case, const DrawResults &results)
{
  if (!bow_case.solve.sideways)
    return {};
  if (bow_case.solve.dimension == 2)
    return wrapped("[solve] sideways_stability asks how stable the limbs are sideways, but the side view has no width: draw the "
                   "bow with --dim 3.",
                   0) +
           "\n\n";
  if (results.sideways.empty())
    return {};
  std::string text = "With handle and hand held still, a pound sideways at the tip moves it ";
  for (std::size_t i = 0; i < results.sideways.size(); ++i)
    text += (i == 0 ? "" : i + 1 == results.sideways.size() ? " and " : ", ") + aside(results.sideways[i]);
  text += ".";
  for (const SidewaysHold &hold : results.sideways)
    if (hold.stage != "unstrung")
      text += " " + standing(hold);
  return "Sideways stability\n  " + wrapped(text, 2, 86) + "\n\n";
}
} // namespace limbwright
