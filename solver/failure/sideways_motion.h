#pragma once

#include "solver/model/limb_model.h"

#include <map>

namespace limbwright
{
/// How a section of a solid of the whole width has moved out of the plane of the draw, in the limb's frame.
struct SidewaysMotion
{
  double drift = 0.; //!< [m] mean displacement across the limb, along z: square to the plane of the draw, however the limb bends
  double twist = 0.; //!< [rad] turn about the limb's own line where it is now, the edge at z > 0 toward the back positive
};

/// shares: the section's nodes with their shares of its area, as section_shares() gives them; u: [m] displacements of all nodes.
///
/// The section's two directors, toward the back and across, are those of the plane that fits its displaced nodes best (least
/// squares over the area). The section's turn is then taken apart into a twist about its normal, a turn sideways, and one in the
/// plane of the draw, in that order (Cardan angles); the twist is exact for turns of any size up to a quarter.
SidewaysMotion sideways_motion(const LimbModel &solid, double station, const std::map<int, double> &shares,
                               const Eigen::VectorXd &u);
} // namespace limbwright
