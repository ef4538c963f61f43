#include "report/made_up_bow.h"

#include "cases/report/answer.h"
#include "cases/report/material_tables.h"
#include "cases/report/verdict.h"
#include "cases/report/words.h"

#include <catch2/catch.hpp>

#include <sstream>

using namespace limbwright;
using Catch::Contains;

TEST_CASE("The answer begins with the weight and tells three places in the trade's words", "[quick]")
{
  const auto text = answer(made_up::bow(), made_up::results());
  // 200 N = 44.96 lb, 0.66675 m + 1.75 in = 28 in, 400 N/m = 2.28 lb/in
  CHECK_THAT(text, Contains("45.0 lb at 28.0 in of draw"));
  CHECK_THAT(text, Contains("200.0 N") && Contains("711 mm") && Contains("plus 1.75 in"));
  CHECK_THAT(text, Contains("2.28 lb per in"));
  CHECK_THAT(text, Contains("90 lb braced, 67 lb drawn"));
  CHECK_THAT(text, Contains("36.9 ft-lb"));
  CHECK_THAT(text, Contains("5.3 oz"));
  CHECK_THAT(text, Contains("1. Both limbs, 11.0 in from center, core, belly face\n     compression failure of the belly"));
  CHECK_THAT(text, Contains("2. Both limbs, 11.0 in from center, belly glass, belly face"));
  CHECK_THAT(text, Contains("71.9 of 116.0 ksi (496 of 800 MPa)"));
  CHECK_THAT(text, Contains("reaches 100 % at 29.3 in of draw"));
  CHECK_THAT(text, Contains("Bow glass used here is from memory, with no source"));
  CHECK_THAT(text, Contains("3. Both limbs") && Contains("power lam, back face"));
  CHECK_THAT(text, Contains("Core wood used here is an estimate"));
  CHECK_THAT(text, !Contains("4. "));
  CHECK_THAT(unwrapped(text),
             Contains("core, belly face: strain 0.86 %, 93 % of its bending strength: more than a belly likes") &&
                 Contains("In the standard crushing test this wood fails at 0.42 %"));
  CHECK_THAT(text, Contains("broken limbs hurt people"));

  std::istringstream lines(text);
  for (std::string line; std::getline(lines, line);)
    CHECK(line.size() <= 90);
}

TEST_CASE("Weights past a thousand pounds stay apart", "[quick]")
{
  auto results = made_up::results();
  results.draw_curve = {made_up::point(24.25 * 0.0254, 1234.5 * 4.4482216), made_up::point(25.25 * 0.0254, 99.9 * 4.4482216),
                        made_up::point(26.25 * 0.0254, 10234.5 * 4.4482216)};
  CHECK_THAT(answer(made_up::bow(), results), Contains("  1234.5    99.9 10234.5\n"));
}

TEST_CASE("A bow past its strength in every layer when it is braced is told to be looked over", "[quick]")
{
  const auto made = made_up::bow();
  auto results = made_up::results();
  const auto mode = FailureMode::tension_along;
  for (int layer = 0; layer < 4; ++layer)
    results.snapshots[1].worst.push_back(made_up::spot(layer, -1, Face::belly, mode, 1.2, 1., 1.));
  CHECK_THAT(answer(made, results), Contains("CHECK THE BOW FILE: every layer is past its strength") &&
                                        Contains("a wrong unit") && Contains("0.394 in thick") && Contains("24 in long"));
  results.snapshots[1].worst[2].index = 0.99; // one layer holds
  CHECK_THAT(answer(made, results), !Contains("CHECK THE BOW FILE"));
  results.snapshots[1].worst[2].mode = FailureMode::belly_set;
  results.snapshots[1].worst[2].index = 5.; // set is no failure
  CHECK_THAT(answer(made, results), !Contains("CHECK THE BOW FILE"));
}

TEST_CASE("An unfinished run says what failed before anything else", "[quick]")
{
  auto results = made_up::results();
  results.complete = false;
  results.failed_stage = "drawing";
  results.reason = "the step became too small";
  results.draw_length = 0.5;
  auto text = answer(made_up::bow(), results);
  CHECK(text.find("NOT FINISHED. Failed stage: drawing. Reason: the step became too small") < text.find("45.0 lb"));
  CHECK_THAT(text, Contains("Last good draw length: 21.4 in"));

  results.draw_weight = 0.;
  results.draw_length = 0.;
  results.worst.clear();
  text = answer(made_up::bow(), results);
  CHECK_THAT(text, Contains("The bow was not drawn") && !Contains("lb at"));
}

TEST_CASE("Places name the limb only where the limbs differ, and both layers of a glue line", "[quick]")
{
  const auto made = made_up::bow();
  auto spot = made_up::spot(-1, 0, Face::inside, FailureMode::glue_peel, 0.5, 1., 2.);
  CHECK(place_words(made, spot, true) == "both limbs, 11.0 in from center, glue line belly glass | core");
  spot = made_up::spot(0, -1, Face::back, FailureMode::tension_along, 0.5, 1., 2.);
  CHECK(place_words(made, spot, false) == "upper limb, 11.0 in from center, belly glass, back face");
  CHECK(strength_caution(made, spot).empty()); // looked up in a table
}

TEST_CASE("A glue line is doubted by whatever sets its limit", "[quick]")
{
  const auto made = made_up::bow();
  auto spot = made_up::spot(-1, 1, Face::inside, FailureMode::glue_shear, 0.5, 10e6, 20e6);
  CHECK(strength_caution(made, spot).empty()); // the adhesive's, measured
  spot.limit = 12e6;                           // the core's shear strength, remembered
  CHECK(strength_caution(made, spot) == "the strength of Core wood used here is from memory, with no source");
}

TEST_CASE("Elastic crushing of wood is not ranked for people; crushing of glass is", "[quick]")
{
  const auto ranked = ranked_for_people(made_up::bow(), made_up::results().worst);
  REQUIRE(ranked.size() == 4);
  CHECK(ranked[0].mode == FailureMode::belly_crushing);
  CHECK(ranked[1].lamination == 0);
  CHECK(ranked[1].mode == FailureMode::compression_along);
}

TEST_CASE("Text is broken at spaces and indented", "[quick]")
{
  CHECK(wrapped("one two three", 2, 8) == "one two\n  three");
  CHECK(wrapped("  one two", 0, 80) == "  one two");
}

TEST_CASE("A material's table gives every value with how it is known", "[quick]")
{
  const auto text = material_table(made_up::wood());
  CHECK_THAT(text, Contains("120 MPa (17405 psi)") && Contains("ESTIMATE: judged from the bending strength"));
  CHECK_THAT(text, Contains("published table: A handbook, table 1 (12 % moisture)"));
  CHECK_THAT(text, Contains("E_L") && Contains("12 GPa (1.74 Msi)"));
  CHECK_THAT(text, Contains("tension_R") && Contains("not known"));
  const auto list = materials_list({{"core-wood", made_up::wood()}}, {{"epoxy", made_up::epoxy()}});
  CHECK_THAT(list, Contains("core-wood") && Contains("epoxy") && Contains("12.0") && Contains("1.10"));
}
