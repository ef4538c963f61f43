// How a bow stands sideways.
#include "solver/stages/draw_path.h"
#include "solver/stages/sideways.h"

#include <algorithm>

namespace limbwright
{
SidewaysHold BowPath::sideways(const PathStep &step, const std::vector<double> &slack_lengths)
{
  SidewaysHold hold;
  hold.stage = step.stage;
  restore(step);
  const bool strung = step.readings.size() > 0;
  const int n_scalars = bow_string.n_scalars();
  const Loads no_string = [](const State &, double, CoupledSystem &system) { system.corner.setIdentity(); };
  const Loads loads = strung ? bow_string.drawing_held(slack_lengths) : no_string;
  if (strung)
  {
    if (const auto mode = critical_mode(equilibrium, step.state, step.point.draw, loads, static_cast<int>(limbs.size())))
    {
      hold.critical_factor = mode->factor;
      hold.share_across = share_across(equilibrium, mode->way);
    }
  }
  else if (!equilibrium.linearise(step.state, step.point.draw, loads))
    return hold;
  for (std::size_t k = 0; k < limbs.size(); ++k)
  {
    const StringSeat seat = string_seat(*limbs[k], k > 0);
    const double stiffness = sideways_stiffness(equilibrium, k, seat.station, seat.depth, n_scalars);
    hold.stiffness = k == 0 ? stiffness : std::min(hold.stiffness, stiffness);
  }
  return hold;
}
} // namespace limbwright
