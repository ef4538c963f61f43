#pragma once

#include "meshing/mesh/mesh_settings.h"
#include "meshing/shape/limb_shape.h"

#include <vector>

namespace limbwright
{
/// Borders of the strips of elements across a solid limb, as shares of half the width, ascending: 0 or -1 to 1. Even away from
/// weak zones, finer about a knot and where the settings ask for it at the edges, and with a border where a patch of glue that
/// covers part of the width ends.
std::vector<double> strip_borders(const LimbShape &shape, const MeshSettings &settings);
} // namespace limbwright
