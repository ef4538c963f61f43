#include "solver/stages/prestress.h"

#include "solver/stages/draw_path.h"
#include "solver/stages/growth.h"
#include "solver/stages/linear_solver.h"

#include <algorithm>
#include <stdexcept>

namespace limbwright
{
void keep_described_shape(LimbModel &solid)
{
  const Eigen::VectorXd rest = Eigen::VectorXd::Zero(solid.space().n_free());
  Eigen::VectorXd force;
  solid.assemble(rest, rest, force);
  // The stiffness of the limb without its stresses.
  solid.scale_prestrain(0.);
  Eigen::VectorXd none;
  solid.assemble(rest, rest, none);
  solid.scale_prestrain(1.);
  LinearSolver solver(solid.communicator());
  if (!solver.factorise(solid.tangent()))
    throw std::runtime_error("The limb's stiffness is singular.");
  solid.add_prestrain(solver.solve(-force));
}

bool BowPath::prestrained() const
{
  return std::any_of(limbs.begin(), limbs.end(), [](const auto &limb) { return limb->has_prestrain(); });
}

BowPath::Outcome BowPath::rest(State &state, int &iterations)
{
  if (!prestrained())
    return {};
  const bool of_form =
      std::any_of(limbs.begin(), limbs.end(), [](const auto &limb) { return limb->shape().description().profile.of_form; });
  const Loads nothing = bow_string.releasing(bow.brace_height, std::vector<double>(limbs.size(), 0.));
  // Strain of a shape that is kept balances from the start; else the limb springs away from its form bit by bit.
  double share = 0., size = of_form ? 0.25 : 1.;
  while (share < 1.)
  {
    const double next = std::min(1., share + size);
    for (const auto &limb : limbs)
      limb->scale_prestrain(next);
    State trial = state;
    const Growth growth = grow_to(equilibrium, trial, state, 0., nothing);
    iterations += growth.iterations;
    if (growth.reached)
    {
      state = trial;
      share = next;
      continue;
    }
    if (growth.stopped)
      return {false, growth.reason};
    size /= 2.;
    if (size < 1. / 64.)
      return {false, "the limb finds no shape in which its prestrain is at rest: " + growth.reason};
  }
  return {};
}
} // namespace limbwright
