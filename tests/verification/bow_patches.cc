#include "support/cases.h"
#include "support/check_table.h"

#include "cases/study/patch_lengths.h"

#include <algorithm>

using namespace limbwright;
using namespace limbwright::checks;

namespace
{
DrawResults run(const std::string &name, bool sound)
{
  Case bow = read(std::filesystem::path(LIMBWRIGHT_EXAMPLES) / name / (name + ".toml"));
  if (sound)
    for (GlueLineDescription &line : bow.bow.upper.glue)
      line.patches.clear();
  return run_to_the_end(bow);
}

const Event *buckling(const DrawResults &results)
{
  const auto found = std::find_if(results.events.begin(), results.events.end(),
                                  [](const Event &event) { return event.kind == Event::Kind::layer_buckles; });
  return found == results.events.end() ? nullptr : &*found;
}
} // namespace

TEST_CASE("Glass that was never glued buckles where it is pressed, and only there", "[slow]")
{
  CheckTable table("Longbow under thin glass, open patches in both limbs",
                   "order of the losses: elastic beam that has lost the glass over the patch (one limb: 3.7, 1.6, and .4 lb)");
  const double pound = 4.4482216;
  const double sound = run("maple-glass-void-back", true).draw_weight / pound;
  const DrawResults middle = run("maple-glass-void-middle", false), riser = run("maple-glass-void-riser", false),
                    back = run("maple-glass-void-back", false);
  const auto loss = [&](const DrawResults &results) { return sound - results.draw_weight / pound; };
  table.note("sound bow [lb]", sound);
  // The beam's glass does nothing; here it goes on bearing what it buckles under, and the patch's ends hold some of it.
  table.at_least("under the belly glass at mid-limb: loss [lb]", loss(middle), 0.5 * 2. * 3.7);
  table.at_most("under the belly glass at mid-limb: loss [lb]", loss(middle), 2. * 3.7);
  table.at_least("under the belly glass past the riser: loss [lb]", loss(riser), 0.3 * 2. * 1.6);
  table.at_most("under the belly glass past the riser: loss [lb]", loss(riser), 2. * 1.6);
  table.at_most("under the back glass: loss [lb]", loss(back), 0.4);

  const Event *first = buckling(middle), *later = buckling(riser);
  REQUIRE(first != nullptr);
  CHECK(first->braced);
  CHECK(first->station == Approx(15. * 0.0254).margin(0.3 * 0.0254));
  CHECK(first->glue_line == 0);
  REQUIRE(later != nullptr);
  CHECK_FALSE(later->braced);
  CHECK(later->station == Approx(8.5 * 0.0254).margin(0.2 * 0.0254));
  CHECK(buckling(back) == nullptr);
}

TEST_CASE("A void under pressed belly glass has a critical length, and one under the back glass of the same size has none",
          "[slow]")
{
  const auto solved = [](const std::string &name, std::vector<double> inches)
  {
    const Case bow = read(std::filesystem::path(LIMBWRIGHT_EXAMPLES) / name / (name + ".toml"));
    for (double &length : inches)
      length *= 0.0254;
    const auto patches = open_patches(bow);
    REQUIRE(patches.size() == 1);
    return solve_patch_lengths(bow, patches[0], inches, {}, nullptr);
  };
  const PatchLengths middle = solved("maple-glass-void-middle", {1., 0.25}), back = solved("maple-glass-void-back", {1.});
  REQUIRE(middle.rows.size() == 2);
  REQUIRE(back.rows.size() == 1);
  CheckTable table("Longbow under thin glass, voids of growing length",
                   "common practice, no source: of voids on the belly, half an inch and more is suspect");
  table.at_most("index, a quarter inch under the belly glass [1]", middle.rows[0].index(), 1.);
  table.at_least("index, an inch under the belly glass [1]", middle.rows[1].index(), 1.);
  REQUIRE(middle.critical().has_value());
  table.at_least("critical length [in]", *middle.critical() / 0.0254, 0.25);
  table.at_most("critical length [in]", *middle.critical() / 0.0254, 1.);
  table.at_most("index, an inch under the back glass [1]", back.rows[0].index(), 0.3);
  CHECK(middle.rows[1].buckles.has_value());
  CHECK_FALSE(middle.rows[0].buckles.has_value());
  const Case bow = read(std::filesystem::path(LIMBWRIGHT_EXAMPLES) / "maple-glass-void-back/maple-glass-void-back.toml");
  CHECK_THROWS_AS(solve_patch_lengths(bow, open_patches(bow)[0], {1.5}, {}, nullptr), std::invalid_argument);
}
