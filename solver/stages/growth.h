#pragma once

#include "solver/model/patch_drag.h"
#include "solver/stages/equilibrium.h"

#include <string>

namespace limbwright
{
/// How growth of a parting glue line is followed when an equilibrium lies too far for Newton's method, or load and draw need not
/// rise for the crack to grow: at a standing parameter, in pseudo-time, with the damage delayed (Duvaut and Lions 1972). The
/// delay takes the energy that the crack in truth would turn into motion, and fades: every state returned satisfies the law
/// without it. Where a patch is open a drag on its faces' motion against each other (PatchDrag), or on every point's
/// (LayeredSolid::drag()), fades with it: a loose layer that buckles snaps from one shape to another without an equilibrium
/// between them. Chosen over an arc length since what loads a bow is its draw, which the archer does not turn back while a crack
/// runs.
struct GrowthSettings
{
  /// By solid: open patches are held back by these, and the rest of the limb is not; null: every point is held back.
  const std::vector<PatchDrag> *patch_drags = nullptr;
  bool hold_first = false;  //!< first go to where the limb comes to with the damage as it is: on the way there, in a long step,
                            //!< glue may seem to part that never does
  double first_pace = 0.25; //!< [1] first step in pseudo-time over the time the delay takes to fade
  double least_pace = 1e-4;
  double settled_pace = 8.;            //!< [1] at which the law without the delay is tried
  int max_steps = 300;                 //!< in pseudo-time
  double runaway_length = 4. * 0.0254; //!< [m] glue that lets go so far in one step is not followed further; judgement
  int max_iterations = 12;             //!< of such a step: a good one takes three to six, and a shorter one costs less than many
  int max_iterations_without_delay = 25;
  double sudden_share =
      0.05; //!< [1] growth is told as sudden where some of it let go and the delay took more than this share of what was spent
};

struct Growth
{
  bool reached = false;
  std::string reason;   //!< why not, in plain words
  bool runaway = false; //!< it was not reached since the glue goes on letting go
  bool sudden = false;  //!< the glue parted by itself, with no more load or draw
  double spent = 0.;    //!< [J] on fracture in this step
  double delayed = 0.;  //!< [J] taken by the delay
  double snapped = 0.;  //!< [J] taken by the drag
  double length = 0.;   //!< [m] of glue line that let go, all solids together
  int iterations = 0;
  int relaxations = 0; //!< steps in pseudo-time
};

/// Moves state to equilibrium at the parameter with the glue's growth on the way, and commits it to the solids' histories.
/// came_from: the last equilibrium, which the histories hold; state: the first guess. When it is not reached, histories are as
/// before and state is came_from.
[[nodiscard]] Growth grow_to(Equilibrium &equilibrium, State &state, const State &came_from, double parameter, const Loads &loads,
                             const GrowthSettings &settings = {});
} // namespace limbwright
