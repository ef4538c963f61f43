#include "report/made_up_bow.h"

#include "cases/study/patch_lengths.h"

#include <catch2/catch.hpp>

using namespace limbwright;
using Catch::Contains;

namespace
{
PatchAtLength solved(double inches, double sliding)
{
  PatchAtLength row;
  row.length = inches * 0.0254;
  row.complete = true;
  row.draw_weight = 200.;
  PatchEnd end;
  end.toward_tip = true;
  end.sliding = sliding;
  end.toughness = 400.;
  row.tip_end = end;
  return row;
}
} // namespace

TEST_CASE("The critical length of a patch is read between the lengths that were solved", "[quick]")
{
  PatchLengths found;
  found.middle = 11. * 0.0254;
  found.rows = {solved(0.5, 64.), solved(1., 324.), solved(2., 576.)}; // indices .4, .9, 1.2
  REQUIRE(found.critical().has_value());
  CHECK(*found.critical() / 0.0254 == Approx(1. + 0.1 / 0.3));
  found.rows.insert(found.rows.begin() + 2, PatchAtLength{1.5 * 0.0254, false, "the step became too small"});
  CHECK(*found.critical() / 0.0254 == Approx(1. + 0.1 / 0.3)); // one that failed says nothing
  const auto text = patch_lengths_words(made_up::bow(), found);
  CHECK_THAT(text, Contains("Critical length: about 1.33 in (34 mm)") && Contains("not finished: the step became too small"));
  found.rows.resize(2);
  CHECK_FALSE(found.critical().has_value());
  CHECK_THAT(patch_lengths_words(made_up::bow(), found), Contains("No length solved"));
  found.rows = {solved(1., 576.)};
  CHECK_THAT(patch_lengths_words(made_up::bow(), found), Contains("shorter than the shortest"));
}
