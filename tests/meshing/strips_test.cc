#include "meshing/mesh/strips.h"
#include "sample_limbs.h"

#include <catch2/catch.hpp>

using namespace limbwright;

namespace
{
// Borders across the whole of a bar 40 mm wide with a dry patch of part of its width.
std::vector<double> borders(double width_share, double across)
{
  LimbDescription limb = sample::strip(0.5, 40e-3, {1e-3, 8e-3}, 0.1e-3);
  GluePatch patch;
  patch.from = 0.2;
  patch.to = 0.25;
  patch.width_share = width_share;
  patch.across = across;
  limb.glue.front().patches = {patch};
  MeshSettings settings;
  settings.half_width = false;
  settings.strips = 1;
  return strip_borders(LimbShape(limb), settings);
}
} // namespace

TEST_CASE("Strips end at the sides of a patch, and none is a sliver for its sake", "[quick]")
{
  CHECK(borders(1., 0.) == std::vector<double>{-1., 0., 1.});
  const std::vector<double> off_middle = borders(0.2, 8e-3);
  CHECK_THAT(off_middle, Catch::Approx(std::vector<double>{-1., 0., 0.2, 0.6, 1.}));
  // Half of the width, a hair off: its sides are the middle plane and the edge.
  CHECK(borders(0.5, 9.98e-3) == std::vector<double>{-1., 0., 1.});
  CHECK(borders(0.5, 10.02e-3) == std::vector<double>{-1., 0., 1.});
}
