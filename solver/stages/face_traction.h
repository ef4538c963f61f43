#pragma once

#include "solver/stages/loads.h"

namespace limbwright
{
/// As in loads.h, on the outer face of a solid: force per reference area [Pa] in the plane of the side view, the same all across
/// the width.
Loads face_traction(const LayeredSolid<3> &solid, bool back, const std::function<Eigen::Vector2d(double station)> &traction);
} // namespace limbwright
