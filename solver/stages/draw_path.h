#pragma once

#include "solver/bow_description.h"
#include "solver/results.h"
#include "solver/stages/half_string.h"

#include <atomic>
#include <functional>

namespace limbwright
{
/// One equilibrium on the way from unstrung to full draw.
struct PathStep
{
  std::string stage; //!< "unstrung", "braced", "drawing", "full draw"
  State state;
  DrawPoint point;
  int iterations = 0;
  // Rates by draw, for interpolation between steps; zero while unstrung.
  Eigen::Vector2d tip_rate = Eigen::Vector2d::Zero(); //!< [1]
  double tension_rate = 0.;                           //!< [N/m]
  double tip_angle_rate = 0.;                         //!< [rad/m]
};

struct DrawPath
{
  std::vector<PathStep> steps; //!< unstrung, braced, each draw step; the last is the state reached
  bool complete = false;
  std::string failed_stage, reason;
  double slack_length = 0.; //!< [m] of the half string
  int brace_iterations = 0, draw_iterations = 0, steps_cut = 0;
};

struct PathProgress
{
  std::string stage;
  int step, n_steps;
  double draw; //!< [m]; the brace height while stringing
  int iterations;
};

/// Strings and draws one limb of a symmetric bow. The limb's frame is the bow's.
class BowPath
{
public:
  BowPath(const LimbMesh<2> &mesh, const BowDescription &bow, const SolveSettings &settings);

  /// Never throws for a stage that fails: the path then ends at the last good state, with the reason.
  DrawPath run(const std::function<void(const PathProgress &)> &progress, const std::atomic<bool> *stop);

  const LayeredSolid<2> &solid() const { return limb; }
  const SolveSeconds &seconds() const { return equilibrium.seconds(); }

private:
  LayeredSolid<2> limb;
  HalfString half_string;
  const BowDescription &bow;
  SolveSettings settings;
  Equilibrium equilibrium;

  struct Outcome
  {
    bool reached = true;
    std::string reason;
  };
  using Accept = std::function<void(double parameter, const State &state, int iterations)>;
  /// Takes a state in equilibrium at `from` to the parameter `to`, in n_steps steps or more where they must be cut.
  Outcome march(State &state, double from, double to, int n_steps, const Loads &loads, int &iterations, int &steps_cut,
                const Accept &accept, const std::atomic<bool> *stop);
  PathStep drawn_step(const State &state, double draw, double slack_length, const PathStep *last);
};

/// The draw curve at given draws [m] between a path's braced and last state: tension, tip place and tip angle by cubic Hermite
/// interpolation between the solved steps; force and string angle follow from them.
std::vector<DrawPoint> interpolate_draw_curve(const DrawPath &path, const std::vector<double> &draws);
} // namespace limbwright
