#pragma once

#include "cases/reader/keys.h"
#include "meshing/shape/limb_description.h"

#include <string>

namespace limbwright
{
/// A knot as it is written.
struct KnotInput
{
  Knot knot;
  std::string lamination;
  bool has_depth = false;
  std::string limb; //!< "both", "upper", "lower"
};

/// A stretch of sloping grain as it is written.
struct GrainRegionInput
{
  GrainRegion region;
  std::string lamination, limb;
};

const Section<KnotInput> &weak_knot_section();
const Section<GrainRegionInput> &weak_run_out_section();

/// [[weak.knot]] and [[weak.run_out]] of this limb; complains about those that do not fit it. The limb's laminations are read.
void read_weak(const TomlView &document, const TomlView &limb_view, LimbDescription &limb);
} // namespace limbwright
