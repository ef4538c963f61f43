#pragma once

#include "meshing/mesh/mesh_settings.h"
#include "meshing/shape/limb_shape.h"

#include <vector>

namespace limbwright
{
/// Stations [m] of the borders between columns of elements, from root to tip, ascending.
///
/// Always among them: root, tip, every lamination end, the nock, a string bridge and the ends of patches of glue (unless they are
/// one of these to within same_station). Kinks of the tables are taken in where they are at least three wanted lengths away from
/// these. Lengths follow the wanted length, which is settings.column_length (0: limb length / 120), less in fine zones, at
/// lamination ends and at ends of patches, graded; lengths of neighbours differ by no more than settings.growth.
///
/// Throws std::invalid_argument for settings without sense, std::runtime_error where there would be absurdly many columns.
std::vector<double> column_stations(const LimbShape &shape, const MeshSettings &settings);
} // namespace limbwright
