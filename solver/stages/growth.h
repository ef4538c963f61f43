#pragma once

#include "solver/stages/equilibrium.h"

#include <functional>
#include <string>

namespace limbwright
{
/// How growth of a parting glue line, and the snapping of a loose layer, is followed when an equilibrium lies too far for
/// Newton's method, or load and draw need not rise for it to go on: at a standing parameter, in pseudo-time. Damage is delayed
/// (Duvaut and Lions 1972); where a patch is open the laminations are slowed (LimbModel::slow_from()), for a loose layer, or the
/// wood that yields beside it, snaps from one shape to another without an equilibrium between them. Both take the energy that in
/// truth would turn into motion, and fade: every state returned satisfies the law without them. Chosen over an arc length since
/// what loads a bow is its draw, which the archer does not turn back while a crack runs.
struct GrowthSettings
{
  std::function<void(int n)> watch{}; //!< called after the n-th step in pseudo-time
  bool hold_first = false;  //!< first go to where the limb comes to with the damage as it is: on the way there, in a long step,
                            //!< glue may seem to part that never does
  double first_pace = 0.25; //!< [1] first step in pseudo-time over the time the delay takes to fade
  double least_pace = 1e-4;
  double least_pace_slowed = 4e-3;     //!< where a layer is loose: elastic to all but a 250th; what finds no rest there breaks up
  double settled_pace = 8.;            //!< [1] at which the law without the delay is tried
  int max_steps = 300;                 //!< in pseudo-time
  double runaway_length = 4. * 0.0254; //!< [m] glue that lets go so far in one step is not followed further; judgement
  int max_iterations = 12;             //!< of such a step: a good one takes three to six, and a shorter one costs less than many
  int max_iterations_without_delay = 25;
  int max_contact_iterations = 200; //!< of a last trial without the delay: halves of a limb split from end to end hardly press
  int steps_between = 5;            //!< trials without the delay, of loose layers whose glue parts: one that fails takes as long
  double greatest_growth = 1e4;     //!< [1] of the residual without the drag, on the way to no equilibrium
  double tolerance_on_the_way = 1e-5; //!< [1] of such a step: residual over the force that acts
  double ineffective_pace = 1e4;      //!< [1] at which a loose layer is no longer slowed
  double sudden_share =
      0.05; //!< [1] growth is told as sudden where some of it let go and the delay took more than this share of what was spent
};

struct Growth
{
  bool reached = false;
  std::string reason;     //!< why not, in plain words
  bool runaway = false;   //!< it was not reached since the glue goes on letting go
  bool gives_way = false; //!< ... or since what a loose layer has set off gathers speed until no step is short enough
  bool stopped = false;   //!< ... or since a stop was asked for
  bool snapped = false;   //!< a loose layer had to be slowed
  bool sudden = false;    //!< the glue parted by itself, with no more load or draw
  double spent = 0.;      //!< [J] on fracture in this step
  double delayed = 0.;    //!< [J] taken by the delay
  double length = 0.;     //!< [m] of glue line that let go, all solids together
  int iterations = 0;
  int relaxations = 0; //!< steps in pseudo-time
};

/// Moves state to equilibrium at the parameter with the glue's growth on the way, and commits it to the solids' histories.
/// came_from: the last equilibrium, which the histories hold; state: the first guess. When it is not reached, histories are as
/// before and state is came_from.
[[nodiscard]] Growth grow_to(Equilibrium &equilibrium, State &state, const State &came_from, double parameter, const Loads &loads,
                             const GrowthSettings &settings = {});
} // namespace limbwright
