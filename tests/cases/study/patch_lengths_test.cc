#include "report/made_up_bow.h"

#include "cases/report/text_layout.h"
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

TEST_CASE("The critical length of a patch lies between two that were solved", "[quick]")
{
  PatchLengths found;
  found.middle = 11. * 0.0254;
  found.rows = {solved(0.5, 64.), solved(1., 324.), solved(2., 576.)}; // indices .4, .9, 1.2
  REQUIRE(found.critical().has_value());
  CHECK(found.critical()->first / 0.0254 == Approx(1.));
  CHECK(found.critical()->second / 0.0254 == Approx(2.));
  found.rows.insert(found.rows.begin() + 2, PatchAtLength{1.5 * 0.0254, false, "the step became too small"});
  CHECK(found.critical()->first / 0.0254 == Approx(1.)); // one that failed before it could grow says nothing
  CHECK(found.critical()->second / 0.0254 == Approx(2.));
  const auto text = patch_lengths_words(made_up::bow(), found);
  CHECK_THAT(text, Contains("Critical length: between 1.00 and 2.00 in (25 and 51 mm)") &&
                       Contains("not finished: the step became too small"));
  CHECK_THAT(text, !Contains("margins") && !Contains("uses less"));
  // One that failed after it could grow is past it.
  found.rows[2] = solved(1.5, 576.);
  found.rows[2].complete = false;
  found.rows[2].reason = "no rest";
  found.rows[2].reached = 0.6;
  CHECK(found.critical()->second / 0.0254 == Approx(1.5));
  CHECK_THAT(unwrapped(patch_lengths_words(made_up::bow(), found)), Contains("no rest; drawn to 25.4 in, 120 % used there"));
  found.rows.resize(2);
  CHECK_FALSE(found.critical().has_value());
  CHECK_THAT(patch_lengths_words(made_up::bow(), found), Contains("No length run has the energy to grow up to full draw"));
  found.rows = {solved(1., 576.)};
  CHECK_THAT(unwrapped(patch_lengths_words(made_up::bow(), found)), Contains("the critical length is shorter."));
}

TEST_CASE("An index that falls as a patch grows is told with its reason, and the bound of margins beside it", "[quick]")
{
  PatchLengths found;
  found.middle = 11. * 0.0254;
  found.rows = {solved(0.5, 40.), solved(1., 60.)};
  found.rows[0].tip_end->opening = 40.; // half of it
  found.rows[0].tip_end->toughness = 300.;
  found.rows[1].tip_end->toughness = 900.; // all of it sliding
  found.bound = 0.8 * 0.0254;
  const std::string text = unwrapped(patch_lengths_words(made_up::bow(), found));
  CHECK_THAT(text, Contains("A patch of 1.00 in uses less of its strength than one of 0.50 in") &&
                       Contains("50 % of the energy is opening, against 0 %"));
  CHECK_THAT(text,
             Contains("a patch of 0.80 in here reaches 100 %") && Contains("No patch that was run up to that length could grow"));
  found.rows.insert(found.rows.begin() + 1, solved(0.6, 576.));
  CHECK_THAT(unwrapped(patch_lengths_words(made_up::bow(), found)), Contains("a shorter one that was run could grow"));
}

TEST_CASE("A patch is lengthened only as far as its glue line goes, and bears the names of what touches there", "[quick]")
{
  constexpr double inch = 0.0254;
  Case bow = made_up::bow(); // a power lamination on the back of the core tapers to nothing at 20 in
  bow.bow.upper.glue[1].patches = {{24. * inch, 25. * inch}};
  PatchLengths found;
  found.middle = 24.5 * inch;
  found.glue_line = 1;
  CHECK_THAT(patch_lengths_words(bow, found), Contains("glue line core | back glass, 24.50 in"));
  bow.bow.upper.glue[1].patches.clear();
  bow.bow.upper.glue[2].patches = {{16. * inch, 17. * inch}}; // between the power lamination and the back glass
  CHECK_THROWS_WITH(solve_patch_lengths(bow, {LimbName::upper, 2, 0}, {10. * inch}, {}, nullptr),
                    Contains("a patch of 10.00 in centered at 16.50 in runs off its glue line"));
}
