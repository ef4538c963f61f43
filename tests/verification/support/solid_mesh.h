#pragma once

#include "support/bodies.h"

namespace limbwright::checks
{
/// even_mesh() of a solid; strips across half the width.
inline MeshSettings solid_mesh(const LimbDescription &limb, int n_columns, int n_rows, int strips, bool half)
{
  MeshSettings settings = even_mesh(limb, n_columns, n_rows);
  settings.strips = strips;
  settings.half_width = half;
  return settings;
}
} // namespace limbwright::checks
