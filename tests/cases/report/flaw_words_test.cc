#include "report/made_up_bow.h"

#include "cases/report/answer.h"
#include "cases/report/flaw_words.h"
#include "cases/report/summary.h"
#include "cases/report/text_layout.h"
#include "cases/report/words.h"

#include <catch2/catch.hpp>

#include <nlohmann/json.hpp>

using namespace limbwright;
using Catch::Contains;

namespace
{
constexpr double in = 0.0254;

Case flawed_bow()
{
  Case bow = made_up::bow();
  Knot knot;
  knot.lamination = 1;
  knot.station = 11. * in;
  knot.diameter = 0.25 * in;
  knot.state = KnotState::loose;
  bow.bow.upper.weak.knots = {knot};
  GluePatch patch;
  patch.from = 20. * in;
  patch.to = 21. * in;
  bow.bow.upper.glue[0].patches = {patch};
  return bow;
}

Event event(Event::Kind kind, double draw)
{
  Event made;
  made.kind = kind;
  made.draw = draw;
  return made;
}

FlawCost cost()
{
  FlawCost made;
  made.complete = true;
  made.draw = 0.66675;
  made.weight_with = 200.;
  made.weight_without = 210.;
  made.set_with = 2. * in;
  made.set_without = 1.5 * in;
  FlawDifference knot;
  knot.flaw.lamination = 1;
  knot.flaw.from = 10.875 * in;
  knot.flaw.to = 11.125 * in;
  knot.flaw.beside = 0.5 * in;
  knot.with = {made_up::spot(1, -1, Face::belly, FailureMode::belly_set, 2.1, 0.0086, 0.0042), // left to the tables
               made_up::spot(1, -1, Face::belly, FailureMode::belly_crushing, 0.93, 0.0086, 0.0092)};
  knot.without = {made_up::spot(1, -1, Face::belly, FailureMode::belly_crushing, 0.60, 0.0055, 0.0092)};
  knot.bend_ratio = 1.42;
  knot.bend_station = 11. * in;
  FlawDifference patch;
  patch.flaw.kind = FlawKind::weak_glue;
  patch.flaw.glue_line = 0;
  patch.flaw.from = 20. * in;
  patch.flaw.to = 21. * in;
  patch.flaw.beside = 0.5 * in;
  patch.with = {made_up::spot(0, -1, Face::belly, FailureMode::compression_along, 0.31, -250e6, 800e6)};
  patch.without = {made_up::spot(0, -1, Face::belly, FailureMode::compression_along, 0.30, -240e6, 800e6)};
  patch.bend_ratio = 1.01;
  made.flaws = {knot, patch};
  made.events = {event(Event::Kind::first_yield, 0.5)};
  return made;
}
} // namespace

TEST_CASE("What the flaws cost is told: weight, the worst place near each, the bend, and events", "[quick]")
{
  const Case bow = flawed_bow();
  DrawResults results = made_up::results();
  results.events = {event(Event::Kind::first_yield, 0.4), event(Event::Kind::belly_crushes, 0.6)};
  results.flaw_costs = {cost()};
  const std::string text = unwrapped(answer(bow, results));
  // 200 N = 44.96 lb, 210 N = 47.21 lb; 0.66675 m + 1.75 in = 28 in
  CHECK_THAT(text,
             Contains("45.0 lb at 28.0 in of draw (without them: 47.2 lb), 4.8 % less; set 2.00 in (without them: 1.50 in)."));
  CHECK_THAT(text, Contains("Both limbs, loose knot, 0.250 in, in core at 11.0 in. Worst near it: compression failure of the "
                            "belly at 93 %, 11.0 in from center (without it: 60 %). At 11.0 in from center, over one limb "
                            "thickness, it bends 1.42 times as much as without it: a hinge. It governs"));
  CHECK_THAT(text, Contains("Both limbs, open patch between belly glass | core, 20.0 in to 21.0 in."));
  CHECK_THAT(text, Contains("at 31 %, 11.0 in from center (without it: 30 %). No effect worth mentioning"));
  CHECK_THAT(text, Contains("wood starts to take set (yields in compression): at 17.5 in (without them: at 21.4 in); the belly "
                            "fails in compression: at 25.4 in (without them: never)."));
  CHECK_THAT(text, !Contains("not run"));

  const auto json = nlohmann::json::parse(summary_json(bow, results))["flaw_costs"];
  REQUIRE(json.size() == 1);
  CHECK(json[0]["beside"] == "sound");
  CHECK(json[0]["draw_weight_without_N"] == 210.);
  CHECK(json[0]["flaws"][0]["role"] == "governs");
  CHECK(json[0]["flaws"][0]["worst_with"]["mode"] == "belly_crushing");
  CHECK(json[0]["flaws"][1]["role"] == "hidden");
  CHECK(json[0]["events"][1]["draw_length_without_m"].is_null());
}

TEST_CASE("A mended bow is laid beside the one that was found", "[quick]")
{
  const Case bow = flawed_bow();
  DrawResults results = made_up::results();
  FlawCost found = cost();
  found.beside = BowBeside::as_found;
  results.flaw_costs = {found};
  const std::string text = unwrapped(answer(bow, results));
  CHECK_THAT(text, Contains("What the repair did (same bow drawn before it"));
  CHECK_THAT(
      text,
      Contains("45.0 lb at 28.0 in of draw (before the repair: 47.2 lb), 4.8 % less; set 2.00 in (before the repair: 1.50 in)."));
  CHECK_THAT(text, Contains("(before the repair: 60 %). At 11.0 in from center, over one limb thickness, it bends 1.42 times as "
                            "much as before the repair"));
  CHECK_THAT(text, !Contains("It governs"));
  const auto json = nlohmann::json::parse(summary_json(bow, results))["flaw_costs"];
  CHECK(json[0]["beside"] == "as_found");
  CHECK(json[0]["flaws"][0]["role"].is_null());
}

TEST_CASE("A flaw counts where index or bend rise, and governs only where the bow's worst place lies", "[quick]")
{
  const Case bow = flawed_bow();
  DrawResults results = made_up::results();
  FlawDifference knot = cost().flaws[0];
  CHECK(role_of(bow, results, knot) == FlawRole::governs);
  knot.without = knot.with;
  CHECK(role_of(bow, results, knot) == FlawRole::counts); // a hinge
  knot.bend_ratio = 1.02;
  CHECK(role_of(bow, results, knot) == FlawRole::hidden);
  knot.without.clear(); // nothing was near failing there
  CHECK(role_of(bow, results, knot) == FlawRole::governs);
  for (HotSpot &spot : results.worst)
    spot.station = 30. * in;
  CHECK(role_of(bow, results, knot) == FlawRole::counts);
}

TEST_CASE("A bow with flaws that was not drawn without them says how", "[quick]")
{
  const DrawResults results = made_up::results();
  CHECK_THAT(unwrapped(answer(flawed_bow(), results)), Contains("sound_beside = \"yes\""));
  CHECK_THAT(answer(made_up::bow(), results), !Contains("sound_beside"));
  DrawResults failed = results;
  failed.flaw_costs.resize(1);
  failed.flaw_costs[0].reason = "stringing: it did not converge";
  CHECK_THAT(unwrapped(answer(flawed_bow(), failed)),
             Contains("could not be drawn for comparison: stringing: it did not converge"));
}

TEST_CASE("What is off the middle of the width is told with its side, as the archer sees it", "[quick]")
{
  Case bow = flawed_bow();
  bow.solve.dimension = 3;
  LimbDescription &limb = bow.bow.upper;
  HotSpot spot = made_up::spot(1, -1, Face::belly, FailureMode::belly_crushing, 0.93, 0.0086, 0.0092);
  spot.across = 0.6;
  CHECK_THAT(place_words(bow, spot, true, Units::trade), Contains("60 % of the way from mid-width to an edge")); // both alike
  limb.weak.knots[0].off_centre = 0.2 * in;
  limb.glue[0].patches[0].width_share = 0.3;
  limb.glue[0].patches[0].across = -0.1 * in;
  CHECK_THAT(place_words(bow, spot, true, Units::trade),
             Contains("60 % of the way from mid-width to the edge on the archer's right"));
  spot.across = -1.;
  CHECK_THAT(place_words(bow, spot, true, Units::trade), Contains("at the edge on the archer's left"));
  const FlawCost flaws = cost();
  CHECK_THAT(flaw_name(bow, LimbName::upper, flaws.flaws[0].flaw, Units::trade),
             Contains("0.20 in to the archer's right, in core"));
  CHECK_THAT(flaw_name(bow, LimbName::upper, flaws.flaws[1].flaw, Units::trade),
             Contains("over 30 % of the width, 0.10 in to the archer's left"));

  DrawResults results = made_up::results();
  results.snapshots.back().limbs.front().sections.back().drift = -0.1 * in;
  results.snapshots.back().limbs.front().sections.back().twist = 0.035;
  CHECK_THAT(answer(bow, results),
             Contains("0.10 in to the archer's left, twisted 2.0 degrees, the archer's right edge toward the back"));
}
