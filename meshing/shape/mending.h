#pragma once

#include "meshing/shape/limb_description.h"

namespace limbwright
{
// The same limb otherwise, on the same mesh: to tell what a weak zone costs, and what mending it brings back.

/// As it was found: what fills patches and splits is taken out, so that they are open, and wraps are left off.
LimbDescription unmended(LimbDescription limb);

/// As if it had never had a fault: glue lines and splits hold, wood is clear and straight-grained, nothing is wrapped.
/// What the laminations' own run_out says is no fault.
LimbDescription sound(LimbDescription limb);

/// Whether anything of it was mended, so that unmended() differs.
bool mended(const LimbDescription &limb);
} // namespace limbwright
