#include "report/made_up_bow.h"

#include "cases/report/answer.h"
#include "cases/report/answer_parts.h"
#include "cases/report/comparison.h"
#include "cases/report/page/page_data.h"
#include "cases/report/page/questions.h"
#include "cases/report/result_tables.h"
#include "cases/report/summary.h"
#include "cases/report/trade_figures.h"
#include "cases/report/verdict.h"
#include "cases/report/words.h"
#include "cases/study/bow_figures.h"

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include <cmath>

using namespace limbwright;
using Catch::Contains;
using nlohmann::json;

namespace
{
DrawResults with(std::vector<HotSpot> spots)
{
  DrawResults results = made_up::results();
  results.worst = std::move(spots);
  for (std::size_t i = 1; i < results.snapshots.size(); ++i)
    results.snapshots[i].worst = results.worst;
  return results;
}

// Glass on the belly works hardest; the wood under it and the wood of the back do not.
DrawResults glass_belly()
{
  return with({made_up::spot(0, -1, Face::belly, FailureMode::compression_along, 0.9, 720e6, 800e6),
               made_up::spot(1, -1, Face::belly, FailureMode::belly_crushing, 0.42, 0.009, 0.021),
               made_up::spot(2, -1, Face::back, FailureMode::tension_along, 0.6, 72e6, 120e6),
               made_up::spot(-1, 1, Face::inside, FailureMode::glue_shear, 0.3, 6e6, 20e6)});
}

std::string balance_of(const DrawResults &results)
{
  return balance_words(made_up::bow(), verdict_of(made_up::bow(), results), results.symmetric);
}
} // namespace

TEST_CASE("The verdict follows every layer, glass included, each to its own mark", "[quick]")
{
  using Level = Verdict::Level;
  const Case bow = made_up::bow();
  const auto level = [&](FailureMode mode, double index)
  { return verdict_of(bow, {made_up::spot(1, -1, Face::belly, mode, index, 1., 1.)}).level; };
  CHECK(level(FailureMode::belly_crushing, 0.39) == Level::comfortable);
  CHECK(level(FailureMode::belly_crushing, 0.5) == Level::takes_set);
  CHECK(level(FailureMode::belly_crushing, 0.71) == Level::works_hard);
  CHECK(level(FailureMode::tension_along, 0.71) == Level::comfortable);
  CHECK(level(FailureMode::tension_along, 0.86) == Level::works_hard);
  CHECK(level(FailureMode::shear, 1.1) == Level::fails);
  CHECK(level(FailureMode::belly_set, 2.) == Level::comfortable); // told in the tables alone

  const Verdict glass = verdict_of(bow, glass_belly());
  CHECK(glass.level == Level::works_hard);
  CHECK(glass.belly->lamination == 0);
  CHECK(glass.back->lamination == 2);
  CHECK(glass.glue->glue_line == 1);
  CHECK(glass.core->lamination == 2); // neither the first nor the last
  DrawResults begun = glass_belly();
  begun.complete = false;
  CHECK(verdict_of(bow, begun).level == Level::not_finished);
  CHECK_THAT(verdict_sentence(bow, begun, Units::metric), Contains("did not finish") && Contains("200 N at 711 mm"));
  CHECK(verdict_of(bow, begun, LimbName::lower).worst.empty());
}

TEST_CASE("A place counts for the side on which it is strained, and what lies across for neither", "[quick]")
{
  const auto side = [](FailureMode mode, Face face) { return side_of(made_up::spot(1, -1, face, mode, 1., 1., 1.)); };
  CHECK(side(FailureMode::tension_along, Face::belly) == Side::back);
  CHECK(side(FailureMode::compression_along, Face::back) == Side::belly);
  CHECK(side(FailureMode::interaction, Face::back) == Side::back);
  CHECK(side(FailureMode::interaction, Face::belly) == Side::belly);
  CHECK(side(FailureMode::interaction, Face::inside) == Side::across);
  CHECK(side(FailureMode::across_compression, Face::belly) == Side::across);
  CHECK(side_of(made_up::spot(-1, 0, Face::inside, FailureMode::edge_growth, 1., 1., 1.)) == Side::glue);
}

TEST_CASE("The balance names the layer that governs on each side", "[quick]")
{
  CHECK(balance_of(glass_belly()) ==
        "Balance: back: power lam at 60 %; belly: belly glass at 90 %; glue: core | power lam at 30 %. The belly works harder.");
  DrawResults results = glass_belly();
  results.worst[0].index = 0.3;
  CHECK_THAT(balance_of(results), Contains("belly: core at 42 %") && Contains("The back works harder, and a back breaks"));
  results.worst[2].index = 0.44;
  CHECK_THAT(balance_of(results), Contains("work about equally"));
  results.worst[1].index = 1.2;
  results.worst[2].index = 0.9;
  CHECK_THAT(balance_of(results), Contains("wood shows chrysals") && Contains("But the back is near its limit too"));
  results.worst.erase(results.worst.begin() + 2);
  CHECK_THAT(balance_of(results), Contains("back: not judged"));
  results.symmetric = false;
  CHECK_THAT(balance_of(results), Contains("belly: core, upper limb, at 120 %"));
  CHECK(balance_of(with({})).empty());
}

TEST_CASE("People read a percentage that stands on the same side of a mark as the index", "[quick]")
{
  CHECK(strength_used(0.664) == "66 %");
  CHECK(strength_used(7.71) == "771 %");
  CHECK(strength_used(0.996) == "99.6 %");
  CHECK(strength_used(0.99999) == "99.9 %");
  CHECK(strength_used(1.0) == "100 %");
  CHECK(strength_used(0.848) == "84.8 %");
  CHECK(strength_used(0.698) == "70 %");
  CHECK(strength_used(0.698, true) == "69.8 %"); // a wooden belly has a mark there
  CHECK(strength_used(not_known) == "not judged");
}

TEST_CASE("Answer, page, comparison, summary and studies say the same of one bow", "[quick]")
{
  const Case bow = made_up::bow();
  const DrawResults results = glass_belly();
  const std::string balance = balance_of(results), text = unwrapped(answer(bow, results));
  CHECK_THAT(text, Contains("Verdict: working hard. Hardest worked: belly glass at 90 % of its strength (100 % = fails): "
                            "compression failure along the grain."));
  CHECK_THAT(text, Contains(balance));
  CHECK_THAT(text, !Contains("index"));

  const StoredRun run{bow, results};
  const auto page = json::parse(page_data(run));
  CHECK(page["verdict"]["words"] == "working hard");
  CHECK_THAT(page["verdict"]["text"]["trade"].get<std::string>(), Contains(balance));
  CHECK(page["spots"][0]["used"] == "90 %");
  CHECK_THAT(twelve_questions(bow, results, Units::trade)[1].answer, Contains(balance));

  CHECK_THAT(unwrapped(comparison_table(compared({run, run}, {"a", "b"}, false))),
             Contains("Working hard; back: power lam at 60 %; belly: belly glass at 90 %"));
  const auto summary = json::parse(summary_json(bow, results))["verdict"];
  CHECK(summary["level"] == "works_hard");
  CHECK(summary["belly"]["layer"] == "belly glass");
  CHECK(summary["belly"]["index"] == Approx(0.9));
  const BowFigures figures = figures_of(bow, results);
  CHECK(figures.belly_index == Approx(0.9));
  CHECK(figures.back_index == Approx(0.6));
  CHECK(figures.core_index == Approx(0.6));
  CHECK(figures.level == Verdict::Level::works_hard);
}

TEST_CASE("A bow is comfortable to the end just where its verdict says so", "[quick]")
{
  for (const double index : {0.5, 0.69, 0.75, 0.9})
  {
    const DrawResults results = with({made_up::spot(1, -1, Face::belly, FailureMode::belly_crushing, index, 0.01, 0.02)});
    const auto level = verdict_of(made_up::bow(), results).level;
    INFO(index);
    CHECK(comfortable_draw(made_up::bow(), results)->to_the_end == (level == Verdict::Level::takes_set));
  }
}

TEST_CASE("What is past its strength when strung does not reach it at a draw", "[quick]")
{
  DrawResults results = with({made_up::spot(2, -1, Face::back, FailureMode::tension_along, 1.4, 168e6, 120e6)});
  results.worst[0].draw_at_one = results.snapshots[1].point.draw;
  CHECK_THAT(answer(made_up::bow(), results), Contains("over 100 % already at brace") && !Contains("reaches 100 %"));
  results.worst[0].draw_at_one = 0.4;
  CHECK_THAT(answer(made_up::bow(), results), Contains("reaches 100 % at 17.5 in of draw")); // 0.4 m + 1.75 in
}

TEST_CASE("Glue lies next to an end where the tables say so", "[quick]")
{
  DrawResults results = glass_belly();
  HotSpot &glue = results.worst.back();
  glue.averaged = true;
  glue.station = 0.50;
  CHECK(averaging_words(results, glue) == "averaged over a short length of glue");
  results.snapshots.back().limbs[0].glue[1].near_end = true; // at 0.50 m
  CHECK_THAT(averaging_words(results, glue), Contains("next to an end"));
  CHECK(averaging_words(results, results.worst[0]).empty());
}

TEST_CASE("Each mode has the unit of its value; criteria of several stresses have none", "[quick]")
{
  const auto of_mode = [](FailureMode mode)
  {
    const auto results = with({made_up::spot(1, -1, Face::back, mode, 0.8, 0.8, 1.)});
    return json::parse(summary_json(made_up::bow(), results))["worst"][0];
  };
  for (const FailureMode mode :
       {FailureMode::interaction, FailureMode::glue_mixed, FailureMode::splinter, FailureMode::slanting_grain})
  {
    INFO(mode_key(mode));
    CHECK(of_mode(mode)["unit"] == "1");
    CHECK(of_mode(mode)["value_1"] == 0.8);
    CHECK_FALSE(of_mode(mode).contains("value_Pa"));
    const std::vector<HotSpot> spots = {made_up::spot(1, -1, Face::back, mode, 0.8, 0.8, 1.)};
    CHECK(std::isnan(numbers(hot_spot_table(made_up::bow(), spots), "stress")[0]));
    CHECK(std::isnan(numbers(hot_spot_table(made_up::bow(), spots), "stress_limit")[0]));
  }
  CHECK(of_mode(FailureMode::belly_crushing)["unit"] == "1");
  CHECK(of_mode(FailureMode::tension_along)["limit_Pa"] == 1.);
  CHECK(of_mode(FailureMode::patch_growth)["value_J_per_m2"] == 0.8);
}
