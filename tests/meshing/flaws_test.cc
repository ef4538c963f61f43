#include "meshing/mesh/columns.h"
#include "meshing/shape/flaws.h"
#include "meshing/shape/limb_shape.h"
#include "meshing/shape/mending.h"

#include <catch2/catch.hpp>

using namespace limbwright;

namespace
{
LimbDescription flawed_limb()
{
  LimbDescription limb;
  limb.tip_station = 0.6;
  limb.profile.lean = StationTable::constant(0.);
  limb.width = StationTable::constant(0.03);
  LaminationDescription lamination;
  lamination.thickness = StationTable::constant(5e-3);
  lamination.end = 0.6;
  limb.laminations = {lamination, lamination};
  limb.glue = {GlueLineDescription{"", 0., 1e14}};
  limb.nock = {0.6, 0.5};
  Knot knot;
  knot.lamination = 1;
  knot.station = 0.2;
  knot.diameter = 4e-3;
  knot.stretch = 2.;
  limb.weak.knots = {knot};
  limb.weak.regions = {{0, 0.3, 0.4, 0.1}};
  GluePatch patch;
  patch.from = 0.45;
  patch.to = 0.5;
  patch.gap = 1e-3;
  limb.glue[0].patches = {patch};
  return limb;
}
} // namespace

TEST_CASE("A limb's flaws, with what lies near them", "[quick]")
{
  const LimbDescription limb = flawed_limb();
  CHECK(flawed(limb));
  CHECK_FALSE(flawed(LimbDescription{}));
  const std::vector<Flaw> list = flaws(LimbShape(limb));
  REQUIRE(list.size() == 3);
  CHECK(list[0].kind == FlawKind::knot);
  CHECK(list[0].lamination == 1);
  CHECK(list[0].from == Approx(0.196));
  CHECK(list[0].to == Approx(0.204));
  CHECK(list[0].beside == Approx(10e-3)); // the stack; the knot is 8 mm long
  CHECK(list[0].near(0.213));
  CHECK_FALSE(list[0].near(0.215));
  CHECK(list[1].kind == FlawKind::sloping_grain);
  CHECK(list[1].lamination == 0);
  CHECK(counts_for(list, 1, 0.35));
  CHECK_FALSE(counts_for(list, 0, 0.35));
  LimbDescription both = limb;
  both.weak.regions[0] = {0, 0.15, 0.4, 0.1}; // over the knot as well
  const std::vector<Flaw> over = flaws(LimbShape(both));
  CHECK(counts_for(over, 0, 0.2));
  CHECK_FALSE(counts_for(over, 1, 0.2));
  CHECK(counts_for(over, 1, 0.16));
  CHECK(list[2].kind == FlawKind::weak_glue);
  CHECK(list[2].glue_line == 0);
  CHECK(list[2].to == Approx(0.5));
}

TEST_CASE("Without its flaws a limb keeps its columns and its list of flaws", "[quick]")
{
  const LimbDescription limb = flawed_limb(), whole = sound(limb);
  const LimbShape shape(limb), clear(whole);
  CHECK(flaws(clear).size() == flaws(shape).size());
  CHECK(column_stations(clear, MeshSettings{}) == column_stations(shape, MeshSettings{}));
  CHECK(weak_at(limb.weak, 1, 0.2));
  CHECK_FALSE(weak_at(whole.weak, 1, 0.2));
  CHECK(limb.glue[0].patches[0].open());
  CHECK(whole.glue[0].patches[0].holding() == 1.);
  CHECK(whole.glue[0].patches[0].gap_at(0.475) == 0.);
}
