#include "support/cases.h"
#include "support/check_table.h"

#include "cases/study/patch_lengths.h"

#include <algorithm>
#include <cmath>
#include <limits>

using namespace limbwright;
using namespace limbwright::checks;

namespace
{
Case example(const std::string &name)
{
  return read(std::filesystem::path(LIMBWRIGHT_EXAMPLES) / name / (name + ".toml"));
}

// Of elastic wood, as the beam's that it stands beside.
DrawResults run(const std::string &name, bool sound)
{
  Case bow = example(name);
  bow.solve.wood_yields = false;
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
                   "order of the losses: elastic beam that has lost an inch of glass in one limb, 3.7 lb at mid-limb, 1.6 lb at "
                   "8 to 9 in (times .85 here), "
                   ".4 lb in the back");
  const double pound = 4.4482216;
  const double sound = run("maple-glass-void-back", true).draw_weight / pound;
  const DrawResults middle = run("maple-glass-void-middle", false), riser = run("maple-glass-void-riser", false),
                    back = run("maple-glass-void-back", false);
  const auto loss = [&](const DrawResults &results) { return sound - results.draw_weight / pound; };
  table.note("sound bow [lb]", sound);
  // The beam's glass does nothing; here it goes on bearing what it buckles under, and the patch's ends hold some of it.
  table.at_least("under the belly glass at mid-limb: loss [lb]", loss(middle), 0.5 * 2. * 3.7);
  table.at_most("under the belly glass at mid-limb: loss [lb]", loss(middle), 2. * 3.7);
  table.at_least("under the belly glass past the riser: loss [lb]", loss(riser), 0.3 * 2. * 1.6 * 0.85);
  table.at_most("under the belly glass past the riser: loss [lb]", loss(riser), 2. * 1.6 * 0.85);
  table.at_most("under the back glass: loss [lb]", loss(back), 0.4);

  const Event *first = buckling(middle), *later = buckling(riser);
  REQUIRE(first != nullptr);
  CHECK(first->braced);
  CHECK(first->station == Approx(15. * 0.0254).margin(0.3 * 0.0254));
  CHECK(first->glue_line == 0);
  REQUIRE(later != nullptr);
  CHECK_FALSE(later->braced);
  CHECK(later->station == Approx(9.425 * 0.0254).margin(0.2 * 0.0254));
  CHECK(buckling(back) == nullptr);
}

TEST_CASE("A layer that snaps loose over wood that yields is followed to full draw, in long steps as in short ones", "[slow]")
{
  Case bow = example("maple-glass-void-riser");
  REQUIRE(bow.solve.wood_yields);
  bow.solve.overdraw = false;
  const DrawResults in_long_steps = run_to_the_end(bow);
  bow.solve.draw_steps = 20;
  const DrawResults in_short_steps = run_to_the_end(bow);
  const double elastic = run("maple-glass-void-riser", false).draw_weight;
  CheckTable table("Longbow under thin glass, open patch past the riser, maple that yields",
                   "the same bow in steps two fifths as long; how far apart a snap may leave them is judgement");
  table.note("with elastic wood, draw weight [N]", elastic);
  table.relative("draw weight [N]", in_long_steps.draw_weight, in_short_steps.draw_weight, 0.01);
  table.at_most("draw weight over that with elastic wood [1]", in_long_steps.draw_weight / elastic, 0.97);
  const Event *long_buckles = buckling(in_long_steps), *short_buckles = buckling(in_short_steps);
  REQUIRE(long_buckles != nullptr);
  REQUIRE(short_buckles != nullptr);
  table.absolute("draw at which the glass stands off [in]", long_buckles->draw / 0.0254, short_buckles->draw / 0.0254, 0.5);
}

TEST_CASE("A void under pressed belly glass has a critical length, and one under the back glass of the same size has none",
          "[slow]")
{
  const auto solved = [](const std::string &name, std::vector<double> inches)
  {
    Case bow = example(name);
    bow.solve.wood_yields = false;
    for (double &length : inches)
      length *= 0.0254;
    const auto patches = open_patches(bow);
    REQUIRE(patches.size() == 1);
    return solve_patch_lengths(bow, patches[0], inches, {}, nullptr);
  };
  const PatchLengths middle = solved("maple-glass-void-middle", {1., 0.25}), back = solved("maple-glass-void-back", {1.});
  REQUIRE(middle.rows.size() > 2); // some between the two
  REQUIRE(back.rows.size() == 1);
  CheckTable table("Longbow under thin glass, voids of growing length",
                   "common practice, no source: of voids on the belly, half an inch and more is suspect");
  table.at_most("index, a quarter inch under the belly glass [1]", middle.rows.front().index(), 1.);
  table.at_least("index, an inch under the belly glass [1]", middle.rows.back().index(), 1.);
  REQUIRE(middle.critical().has_value());
  table.note("longest that holds [in]", middle.critical()->first / 0.0254);
  table.note("shortest that could grow [in]", middle.critical()->second / 0.0254);
  table.at_most("from the one to the other, over the longer [1]", 1. - middle.critical()->first / middle.critical()->second, 0.1);
  table.at_most("index, an inch under the back glass [1]", back.rows[0].index(), 0.3);
  CHECK(middle.rows.back().buckles.has_value());
  CHECK_FALSE(middle.rows.front().buckles.has_value());
  const Case bow = example("maple-glass-void-back");
  CHECK_THROWS_AS(solve_patch_lengths(bow, open_patches(bow)[0], {1.5}, {}, nullptr), std::invalid_argument);
}

TEST_CASE("A backing cut off square before the tip lifts and comes off; nearer to the nock it would hold", "[slow]")
{
  Case bow = read(std::filesystem::path(LIMBWRIGHT_EXAMPLES) / "bamboo-stopped-short/bamboo-stopped-short.toml");
  const DrawResults off = run_draw(bow, {}, {}, nullptr);
  CHECK_FALSE(off.complete);
  CHECK(off.reason.find("without more draw") != std::string::npos);
  CheckTable table("A slat that stops short", "common practice, no source: square ends of backings lift");
  table.at_least("last draw, pivot to nocking point [in]", off.draw_length / 0.0254, 18.);
  REQUIRE_FALSE(off.events.empty());
  CHECK(std::any_of(off.events.begin(), off.events.end(),
                    [](const Event &event) { return event.kind == Event::Kind::grows_by_itself; }));
  // Half the pull where the slat ends: bending falls in a straight line toward the nock.
  bow.bow.upper.laminations[1].end = 30.5 * 0.0254;
  const DrawResults held = run_draw(bow, {}, {}, nullptr);
  CHECK(held.complete);
}

TEST_CASE("Sinew whose end lies in gelled glue lifts there while the bow is drawn, and no farther", "[slow]")
{
  Case bow = read(std::filesystem::path(LIMBWRIGHT_EXAMPLES) / "elm-sinew-lifting/elm-sinew-lifting.toml");
  const double inch = 0.0254;
  const auto first = [](const DrawResults &results, Event::Kind kind)
  { return std::find_if(results.events.begin(), results.events.end(), [&](const Event &event) { return event.kind == kind; }); };
  // The least station at which glue has let go [m].
  const auto lifted_from = [](const DrawResults &results)
  {
    double least = std::numeric_limits<double>::infinity();
    for (const GlueState &glue : results.snapshots.back().limbs.front().glue)
      if (glue.parted >= 1. - 1e-6)
        least = std::min(least, glue.station);
    return least;
  };
  const DrawResults lifting = run_to_the_end(bow);
  const GluePatch gelled = bow.bow.upper.glue[0].patches.at(0);
  const auto begins = first(lifting, Event::Kind::glue_parts);
  REQUIRE(begins != lifting.events.end());
  CHECK_FALSE(begins->braced);
  CHECK(begins->glue_line == 0);
  CHECK(begins->station >= gelled.from);
  CHECK(begins->draw < lifting.draw_length - 2. * inch);
  CHECK(first(lifting, Event::Kind::grows_by_itself) != lifting.events.end());
  CheckTable table("Sinew that ends in gelled glue", "common practice, no source: square ends of backings lift");
  table.absolute("lifted from [m]", lifted_from(lifting), gelled.from, 0.1 * inch);
  bow.bow.upper.glue[0].patches.clear();
  const DrawResults held = run_to_the_end(bow);
  CHECK(first(held, Event::Kind::glue_parts) == held.events.end());
  CHECK_FALSE(std::isfinite(lifted_from(held)));
  table.at_least("draw weight lost to it [N]", held.draw_weight - lifting.draw_weight, 0.);
}

TEST_CASE("When sinew lifts does not hang on the number of steps", "[slow]")
{
  const auto drawn_in = [](int steps)
  {
    Case bow = read(std::filesystem::path(LIMBWRIGHT_EXAMPLES) / "elm-sinew-lifting/elm-sinew-lifting.toml");
    bow.solve.draw_steps = steps;
    return run_to_the_end(bow);
  };
  const DrawResults few = drawn_in(4), many = drawn_in(16);
  CheckTable table("Sinew that ends in gelled glue, drawn in four steps",
                   "the same in sixteen; events are closed in on to .1 in");
  for (const Event &event : many.events)
    if (event.kind != Event::Kind::first_yield)
    {
      const auto same = std::find_if(few.events.begin(), few.events.end(),
                                     [&](const Event &other)
                                     { return other.kind == event.kind && std::abs(other.draw - event.draw) < 0.2 * 0.0254; });
      INFO("event " << static_cast<int>(event.kind) << " at " << event.draw / 0.0254 << " in");
      CHECK(same != few.events.end());
    }
  CHECK(few.events.size() == many.events.size());
  table.relative("work [J]", few.stored_energy, many.stored_energy, 1e-3);
  table.relative("used up [J]", few.draw_curve.back().dissipated, many.draw_curve.back().dissipated, 1e-2);
}
