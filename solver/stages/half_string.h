#pragma once

#include "solver/model/section_functional.h"
#include "solver/stages/equilibrium.h"

namespace limbwright
{
/// The string from a limb's nock to the nocking point, in the limb's frame; straight, without mass. One scalar unknown: its
/// tension T [N]. Potential T (length - slack (1 + T / (2 EA))): its derivative by T is the constraint of each stage, and
/// T d length / d u is the force on the limb. Exact first and second derivatives.
class HalfString
{
public:
  /// stiffness: EA [N], infinite where the string does not stretch. Announces its block; before the solid's first assembly.
  HalfString(LayeredSolid<2> &solid, std::size_t part, double nock_station, double nock_depth, double stiffness);

  struct Geometry
  {
    Eigen::Vector2d tip;       //!< [m] string point at the nock
    Eigen::Vector2d direction; //!< unit vector from the nocking point to it
    double length;             //!< [m]
    Eigen::Vector2d director;  //!< of the section at the nock, toward the belly
  };
  /// draw: pivot to nocking point [m]; height of the nocking point above the pivot [m].
  Geometry geometry(const State &state, double draw, double height = 0.) const;

  /// Stringing: the nocking point is held at brace height while the string is shortened until its end at the nock has come to
  /// x = parameter [m]; at minus the brace height the string is straight. The string's length is a result.
  Loads bracing(double brace_height) const;

  /// Drawing: the unstressed length is kept; parameter = draw [m].
  Loads drawing(double slack_length) const;

  /// Unstressed length [m] of a string that is this long under this tension.
  double slack_length(double length, double tension) const { return length / (1. + tension * compliance); }
  double tension(const State &state) const { return state.scalars[0]; }
  /// Stored in the string [J].
  double energy(double slack_length, double tension) const { return 0.5 * tension * tension * compliance * slack_length; }

private:
  std::size_t part;
  LoadPoints points; // nock, director
  double compliance; // 1 / EA
};
} // namespace limbwright
