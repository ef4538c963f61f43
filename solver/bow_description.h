#pragma once

#include "materials/material.h"
#include "meshing/mesh/mesh_settings.h"
#include "meshing/shape/limb_description.h"

#include <limits>
#include <map>
#include <optional>
#include <string>

namespace limbwright
{
struct StringDescription
{
  double stiffness = std::numeric_limits<double>::infinity(); //!< [N] EA, force per unit strain of the whole string; infinite:
                                                              //!< inextensible
  double mass = 0.;                                           //!< [kg]
};

/// How a bow of two unlike limbs is held.
struct HoldDescription
{
  double nocking_height = 0.;  //!< [m] of the drawn point of the string above the pivot, at brace
  bool free_height = true;     //!< the nocking point finds the height at which no force acts along the fingers
  bool free_handle = false;    //!< the handle may rock about the hand's pressure point
  double pressure_height = 0.; //!< [m] of that point above the pivot
};

/// A bow ready to be strung. Lengths of draw are from the pivot to the nocking point [m].
struct BowDescription
{
  LimbDescription upper;
  std::optional<LimbDescription> lower; //!< absent: the mirror image of the upper one
  std::map<std::string, Material> materials;
  std::map<std::string, Adhesive> adhesives;
  StringDescription string;
  HoldDescription hold;     //!< of a bow with a lower limb of its own
  double brace_height = 0.; //!< [m]
  double full_draw = 0.;    //!< [m]
};

/// Whether a bow with flaws is drawn without them as well.
enum class SoundBeside
{
  side_view, //!< where a side view is solved
  always,
  never
};

/// Which of the solved states are judged.
enum class Judging
{
  every_step,
  last_only //!< the last draw reached, as if the bow had come there in one step: no events, no draw at which an index is one
};

struct SolveSettings
{
  int dimension = 2;                     //!< 2: side view, 3: solid
  PlaneState plane = PlaneState::stress; //!< of the side view
  int brace_steps = 1;
  int draw_steps = 4;      //!< at least; steps are cut when they fail
  int max_iterations = 25; //!< per step
  double tolerance = 1e-8; //!< [1] residual over internal force
  bool wood_yields = true; //!< wood and bamboo crush along the grain where their strength is known
  int cycles = 2;          //!< draws to full draw, each let down again; 0: the bow is left drawn
  bool sideways = false;   //!< of solids: how they stand sideways, by the whole width
  SoundBeside sound_beside = SoundBeside::side_view;
  bool overdraw = true; //!< one and two inches past full draw are told as well
  Judging judging = Judging::every_step;
  double averaging_length = 0.; //!< [m] glue tractions near ends are averaged over this; 0: the thinner neighbour's thickness
};
} // namespace limbwright
