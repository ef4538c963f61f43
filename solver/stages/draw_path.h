#pragma once

#include "solver/bow_description.h"
#include "solver/results.h"
#include "solver/stages/half_string.h"

#include <atomic>
#include <functional>
#include <memory>

namespace limbwright
{
/// One equilibrium on the way from unstrung to full draw.
struct PathStep
{
  std::string stage; //!< "unstrung", "stringing", "braced", "drawing", "full draw"
  State state;
  State rate;      //!< d state / d draw [1/m]; empty before brace
  DrawPoint point;
  int iterations = 0;
};

struct PathProgress
{
  std::string stage;
  int step, n_steps;
  double draw; //!< [m]
  int iterations;
};

struct DrawPath
{
  std::vector<PathStep> steps;   //!< unstrung, braced, each draw step; the last is the state reached
  bool complete = false;
  std::string failed_stage, reason;
  double slack_length = 0.;      //!< [m] of the half string
  int brace_iterations = 0, draw_iterations = 0, steps_cut = 0;
};

/// First guesses for the path from elsewhere, for example a coarser mesh; empty where there is none.
struct PathGuess
{
  std::function<State(double draw)> drawn; //!< draw [m], brace height included
};

/// Strings and draws one limb of a symmetric bow. The limb's frame is the bow's. Never throws for a failed stage: the path then
/// ends at the last good state, with the reason.
class BowPath
{
public:
  BowPath(const LimbMesh<2> &mesh, const BowDescription &bow, const SolveSettings &settings);

  DrawPath run(const PathGuess &guess, const std::function<void(const PathProgress &)> &progress,
               const std::atomic<bool> *stop);

  const LayeredSolid<2> &solid() const { return limb; }
  const HalfString &string() const { return half_string; }

private:
  LayeredSolid<2> limb;
  HalfString half_string;
  const BowDescription &bow;
  SolveSettings settings;
  Equilibrium equilibrium;

  DrawPoint point(const State &state, const State &rate, double draw, double slack_length, const State &unstrung) const;
};

/// The draw curve at given draws [m] from the steps of a path, by cubic Hermite interpolation of tension and tip place.
std::vector<DrawPoint> interpolate_draw_curve(const std::vector<PathStep> &steps, const std::vector<double> &draws);
} // namespace limbwright
