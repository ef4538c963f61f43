#include "cases/report/output_units.h"
#include "cases/study/batch.h"
#include "cases/study/pounds.h"
#include "cases/study/sizing.h"
#include "support/cases.h"
#include "support/check_table.h"

#include <algorithm>

using namespace limbwright;
using namespace limbwright::checks;

namespace
{
Case example(const std::string &name)
{
  return read(std::filesystem::path(LIMBWRIGHT_EXAMPLES) / name / (name + ".toml"));
}
} // namespace

TEST_CASE("What the inches do adds up to what the whole limb does", "[verification]")
{
  CheckTable table("Weight by the inch", "two whole solutions, the bow as it is and with its core thinner everywhere");
  Case bow = example("ash-hickory-board");
  std::string error;
  const auto core = resizing(bow, "core", error);
  const auto pounds = where_pounds_are(bow, *core, 3. * pound_force, error, nullptr);
  REQUIRE(pounds);
  double thickness = 0.;
  for (const InchEffect &effect : pounds->inches)
    thickness += effect.thickness.weight;
  // Tents an inch apart add up to one, but for the part of an inch at the root and beyond the last at the tip.
  const double whole =
      draw_quickly(resized(bow, *core, -scraping), false, nullptr).draw_weight - draw_quickly(bow, false, nullptr).draw_weight;
  table.relative("0.005 in off everywhere [N]", thickness, whole, 0.06);
  // Of this bow the brace height hardly changes the weight: there is no inch of it to name for three pounds.
  const auto brace = std::find_if(pounds->routes.begin(), pounds->routes.end(),
                                  [](const Route &route) { return route.words == "change the brace height"; });
  REQUIRE(brace != pounds->routes.end());
  CHECK_FALSE(brace->of_sense);
  CHECK(brace->how_much.find("hardly changes the weight") == 0);
}

TEST_CASE("A batch spreads as its linear estimate says", "[slow]")
{
  Case bow = example("ash-hickory-board");
  bow.solve.wood_yields = false;
  BatchPlan plan;
  plan.n_bows = 64;
  plan.sizes.wood_modulus = 0.05; // small, so that the linear estimate is due to hold
  const auto tolerances = tolerances_of(bow, plan.sizes);
  const auto linear = linear_spread(bow, tolerances, nullptr);
  REQUIRE(linear);
  BatchBows bows;
  for (std::size_t i = 0; i < plan.n_bows; ++i)
    bows[i] = draw_one_of_batch(bow, tolerances, plan, i, nullptr, nullptr);
  const BatchStatistics s = statistics_of(bows, linear->nominal_weight);
  CheckTable table("Spread of 64 bows", "first-order effects of every tolerance, added as squares");
  table.relative("mean weight [N]", s.mean, linear->nominal_weight, 0.01);
  // 64 points give a deviation to some 9 per cent if they were random; a sequence that fills the space is better.
  table.relative("standard deviation of the weight [N]", s.deviation, linear->deviation(), 0.1);
}
