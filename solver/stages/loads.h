#pragma once

#include "solver/model/layered_solid.h"
#include "solver/model/section_functional.h"
#include "solver/stages/equilibrium.h"

#include <functional>

namespace limbwright
{
// Loads for bodies that are no bow: test bars, laminates, curved beams. The parameter of Equilibrium::solve() multiplies every
// load. Directions are those of the limb's frame; solids are one, part 0.

/// A force on the material point of a section that keeps its direction. The object holds the block of the tangent: make it before
/// the solid's first assembly and keep it while the loads live.
class SectionForce
{
public:
  SectionForce(LimbModel &solid, double station, double depth);

  Loads dead(const Eigen::Vector2d &force) const;                                             //!< [N]
  Loads dead_in_space(const Eigen::Vector3d &force) const;                                    //!< [N]
  Eigen::Vector2d place(const State &state) const { return place_in_space(state).head<2>(); } //!< [m] current place of the point
  Eigen::Vector3d place_in_space(const State &state) const;
  Eigen::Vector2d reference() const { return start.head<2>(); }
  /// Holds the point's displacement along a unit direction at parameter [m]; the force needed is scalar number `scalar` [N],
  /// positive along the direction.
  Loads held(const Eigen::Vector2d &direction, int scalar) const;

private:
  LoadPoints points;
  Eigen::Vector3d start;
};

/// A moment that turns with the section (work per radian of the section's director; conservative in the plane). Lifetime as
/// above.
class SectionMoment
{
public:
  SectionMoment(LimbModel &solid, double station);

  Loads moment(double moment) const;     //!< [N m] positive turns x toward y (counter-clockwise)
  double turn(const State &state) const; //!< [rad] the section's turn, counter-clockwise, between -pi and pi

private:
  LoadPoints points;
};

/// Force per reference area [Pa] on the limb's outer back or belly face that keeps its direction, as a function of the station
/// [m]. Of a solid: face_traction.h.
Loads face_traction(const LayeredSolid<2> &solid, bool back, const std::function<Eigen::Vector2d(double station)> &traction);

/// All of them together.
Loads sum_of(std::vector<Loads> loads);
} // namespace limbwright
