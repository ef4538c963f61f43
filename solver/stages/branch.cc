// Whether what Newton's method finds is a state that the bow comes to, and where a path ends that goes no further.
#include "solver/stages/draw_curve.h"
#include "solver/stages/draw_path.h"

#include <algorithm>
#include <cmath>

namespace limbwright
{
LimitPoint BowPath::seek_fold(State &state, double &at, double step, double to, const Loads &loads, const Rate &rate,
                              double shortest)
{
  LimitPoint limit;
  if (!equilibrium.linearise(state, at, loads))
    return limit;
  const PathPoint now{state, at, histories()}, before{state - rate(state, at) * step, at - step, now.history};
  limit = seek_limit_point(equilibrium, before, now, to, loads, shortest);
  if (limit.last.parameter == at)
    return limit;
  restore(limit.last.history);
  state = limit.last.state;
  at = limit.last.parameter;
  if (!equilibrium.linearise(state, at, loads))
    limit.end = LimitPoint::End::lost;
  return limit;
}

std::string BowPath::fold_words(const State &state, const std::vector<Eigen::VectorXd> &motion) const
{
  std::size_t worst = 0;
  for (std::size_t k = 1; k < motion.size(); ++k)
    if (motion[k].norm() > motion[worst].norm())
      worst = k;
  const SharpBend hinge = sharpest_bend(*limbs[worst], state.q[worst], motion[worst]);
  const std::string which = limbs.size() == 1 ? "the limb" : worst == 0 ? "the upper limb" : "the lower limb";
  return which + " folds " + place_words(*limbs[worst], hinge.station);
}

bool BowPath::stands(const State &state, double draw, const std::vector<double> &slack_lengths, bool strictly)
{
  // A solid may tip over sideways, which is told apart from where it bends to.
  if (limbs.front()->dimension() == 3 || way_matters())
    return true;
  const Loads held = bow_string.drawing_held(slack_lengths);
  const auto settled = [&] { return equilibrium.n_unstable(state, draw, held, static_cast<int>(limbs.size())) <= 0; };
  if (settled())
    return true;
  // The last tangent was of wood that yields on; at rest in its state the wood springs back.
  return !strictly && equilibrium.linearise(state, draw, held) && settled();
}

std::string BowPath::fault_of_draw(const State &state, const PathStep &last, const PathStep &step,
                                   const std::vector<double> &slack_lengths, bool strictly)
{
  if (!stands(state, step.point.draw, slack_lengths, strictly))
    return "what was found would not stay where it is";
  if (step.point.force <= 0.)
    return "the string would push the hand";
  // Between two states of one path the hand's work is what the bow takes up, but for the force between, which is interpolated.
  constexpr double of_step = 0.03, of_all = 0.002; // [1] allowed: an order above what good bows show
  const double work = work_between(last, step);
  const double taken = step.point.strain_energy + step.point.dissipated - last.point.strain_energy - last.point.dissipated;
  if (std::abs(taken - work) > of_step * std::abs(work) + of_all * std::abs(step.point.work))
    return "the bow would snap into another shape";
  return {};
}
} // namespace limbwright
