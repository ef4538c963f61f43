#pragma once

#include "solver/failure/recovery.h"

#include <vector>

namespace limbwright
{
/// Length [1] over which strain that gathers beside a knot is meant, over the knot's size along the limb: the knot, and half its
/// size of bent grain before and behind it, where wood yields first. At least the limb's thickness: over less than that its
/// sections do not stay plane, and how far a line of crushed wood is pressed together hangs on the thickness, not on the knot.
inline constexpr double gauge_over_knot = 2.;

/// Wood that yields at a plateau gives the side view no length over which it yields: beside a knot its shortening gathers in one
/// column, and its strain there grows as the column gets shorter, while the force, and how much the column is shortened in all,
/// do not. So where wood within half a gauge length has yielded, the strain at nodes beside a knot becomes the
/// mean over that length, along the line of the node's depth, wood alone: what a strain gauge of that length would read. The
/// length is ours; the mean takes the peak off what is elastic within it as well. The fields' strain is changed; returns whose.
std::vector<int> spread_gathered_strain(const LayeredSolid<2> &solid, NodalFields &fields);
} // namespace limbwright
