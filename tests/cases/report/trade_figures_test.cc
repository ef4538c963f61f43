#include "report/made_up_bow.h"

#include "cases/report/answer.h"
#include "cases/report/hdf5_file.h"
#include "cases/report/output_units.h"
#include "cases/report/result_tables.h"
#include "cases/report/summary.h"
#include "cases/report/text_file.h"
#include "cases/report/trade_figures.h"
#include "cases/report/write_results.h"

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include <sstream>

using namespace limbwright;
using Catch::Contains;

namespace
{
void check_widths(const std::string &text)
{
  std::istringstream lines(text);
  for (std::string line; std::getline(lines, line);)
  {
    INFO(line);
    CHECK(line.size() <= 90);
  }
}

/// A core that goes from an index of 0.4 braced to 0.9 at full draw; the glue from 0.1 to 0.5.
DrawResults rising_results()
{
  auto results = made_up::results();
  const auto crushing = [](double index)
  { return made_up::spot(1, -1, Face::belly, FailureMode::belly_crushing, index, 0.008, 0.009); };
  const auto glue = [](double index) { return made_up::spot(-1, 1, Face::inside, FailureMode::glue_shear, index, 2e6, 20e6); };
  results.snapshots[1].worst = {crushing(0.4), glue(0.1)};
  results.snapshots[2].worst = {crushing(0.9), glue(0.5)};
  return results;
}

struct UnlikeBow
{
  Case bow_case = made_up::bow();
  DrawResults results = made_up::results();

  UnlikeBow()
  {
    bow_case.bow.lower = bow_case.bow.upper;
    bow_case.bow.hold.free_handle = true;
    bow_case.bow.hold.nocking_height = 0.03;
    results.symmetric = false;
    results.gaps_braced = {0.150, 0.140};                  // 10 mm: 3/8 in to the nearest eighth
    results.gaps_full = {0.300, 0.3000 + 11. / 8. * inch}; // the lower one larger
    for (auto &snapshot : results.snapshots)
    {
      auto lower = snapshot.limbs.front();
      lower.limb = LimbName::lower;
      snapshot.limbs.push_back(lower);
      snapshot.point.tension_lower = 310.;
      snapshot.point.nocking_height = 0.03;
    }
    results.snapshots.back().point.nocking_height = 0.02;
    results.snapshots[1].point.handle_turn = 0.01;
    results.snapshots.back().point.handle_turn = 0.045;
    auto below = made_up::spot(1, -1, Face::belly, FailureMode::belly_crushing, 0.91, 0.0084, 0.0092);
    below.limb = LimbName::lower;
    results.worst.push_back(below);
  }
};
} // namespace

TEST_CASE("A comfortable draw ends where the first index that is told passes the mark", "[quick]")
{
  auto results = rising_results();
  const auto found = comfortable_draw(made_up::bow(), results);
  REQUIRE(found);
  CHECK_FALSE(found->to_the_end);
  CHECK(found->draw == Approx(0.18 + 0.6 * (0.66675 - 0.18))); // 0.7, a wooden belly's mark, lies six tenths of the way
  REQUIRE(found->limit);
  CHECK(found->limit->mode == FailureMode::belly_crushing);
  // 0.4721 m and 1.75 in
  CHECK_THAT(answer(made_up::bow(), results), Contains("comfortable to        20.3 in (core)"));

  // What is not told to people does not count, however high.
  results.snapshots[2].worst = {made_up::spot(1, -1, Face::belly, FailureMode::belly_set, 2., 0.008, 0.004)};
  CHECK(comfortable_draw(made_up::bow(), results)->to_the_end);
  results.snapshots[1].worst = {made_up::spot(1, -1, Face::back, FailureMode::tension_along, 0.86, 1., 1.)};
  CHECK(comfortable_draw(made_up::bow(), results)->never_comfortable);
  CHECK_FALSE(comfortable_draw(made_up::bow(), DrawResults{}));
}

TEST_CASE("The answer tells the weight by inch, past full draw, and energy per pound", "[quick]")
{
  auto results = rising_results();
  results.draw_curve.clear();
  for (int told = 10; told <= 28; ++told)
    results.draw_curve.push_back(made_up::point((told - 1.75) * inch, (told - 8) * pound_force));
  results.draw_curve.push_back(made_up::point(20.3 * inch, 1000.)); // between inches: left out
  const auto text = answer(made_up::bow(), results);
  CHECK_THAT(text,
             Contains("lb at 10 to 18 in      2.0   3.0") && Contains("lb at 19 to 28 in     11.0") && Contains("  20.0\n"));
  CHECK_THAT(text, Contains("36.9 ft-lb, 0.82 ft-lb per lb")); // 50 J over 200 N
  CHECK_THAT(text, !Contains("overdrawn"));
  results.overdraw = {made_up::point(0.66675 + inch, 50. * pound_force)};
  CHECK_THAT(answer(made_up::bow(), results), Contains("1 in: 50.0 lb, 2 in: not known"));
  results.overdraw.push_back(made_up::point(0.66675 + 2. * inch, 60. * pound_force));
  CHECK_THAT(answer(made_up::bow(), results), Contains("1 in: 50.0 lb, 2 in: 60.0 lb"));
  CHECK(force_past_full_draw(results, 2) == Approx(60. * pound_force));
  check_widths(text);
}

TEST_CASE("A string on the limb is told with where it lifts off", "[quick]")
{
  auto results = made_up::results();
  CHECK_FALSE(string_lifts_off(results));
  CHECK_THAT(answer(made_up::bow(), results), !Contains("string on the limb"));
  results.snapshots[1].point.contact_length = 1.8 * inch;
  CHECK(string_lifts_off(results).value() == Approx(0.66675));
  auto text = answer(made_up::bow(), results);
  CHECK_THAT(text, Contains("last 1.8 in braced, off at 28.0 in"));
  check_widths(text);
  results.snapshots[2].point.contact_length = 0.2 * inch;
  CHECK_FALSE(string_lifts_off(results));
  CHECK_THAT(answer(made_up::bow(), results), Contains("never lifts off"));
  const auto json = nlohmann::json::parse(summary_json(made_up::bow(), results));
  CHECK(json["string_contact_braced_m"] == Approx(1.8 * inch));
  CHECK(json["string_lift_off_draw_m"].is_null());

  auto with_bridge = made_up::bow();
  with_bridge.bow.upper.bridge = StringBridgeDescription{0.7, 0.01};
  results.snapshots[1].point.lift_off_station = 0.72; // beyond the bridge
  CHECK_THAT(answer(with_bridge, results), Contains("last 1.8 in braced"));
  results.snapshots[1].point.lift_off_station = 0.7;
  CHECK_THAT(answer(with_bridge, results), Contains("on the bridge braced"));
}

TEST_CASE("Each of two limbs tells where the string leaves it", "[quick]")
{
  UnlikeBow bow;
  bow.results.snapshots[1].point.contact_length = 1.8 * inch;
  bow.results.snapshots[2].point.contact_length = 0.2 * inch;
  bow.results.snapshots[1].point.contact_length_lower = 2.4 * inch;
  const auto text = answer(bow.bow_case, bow.results);
  CHECK_THAT(text, Contains("string, upper limb    last 1.8 in braced, never lifts off"));
  CHECK_THAT(text, Contains("string, lower limb    last 2.4 in braced, off at 28.0 in"));
  check_widths(text);
  const auto json = nlohmann::json::parse(summary_json(bow.bow_case, bow.results));
  CHECK(json["string_contact_braced_lower_m"] == Approx(2.4 * inch));
  CHECK(json["string_lift_off_draw_lower_m"] == Approx(0.66675));
  CHECK(json["string_lift_off_draw_m"].is_null());
  const made_up::Folder folder;
  write_results(folder.path, bow.bow_case, bow.results);
  CHECK(Hdf5Source(folder.path / "results.h5").numbers("/steps/001/point/contact_length_lower") ==
        std::vector<double>{2.4 * inch});
}

TEST_CASE("What pulls the back off is told with its sign", "[quick]")
{
  auto results = made_up::results();
  CHECK_FALSE(pull_on_back(made_up::bow(), results)); // the only line lies under the core
  const auto under_back = [](double station, double peel, bool near_end)
  {
    GlueState state;
    state.station = station;
    state.line = 1; // of the core; the power lamination has ended there
    state.back_lamination = 3;
    state.peel = peel;
    state.near_end = near_end;
    return state;
  };
  results.snapshots[1].limbs[0].glue = {under_back(0.5, 80. * psi, false), under_back(0.6, 900. * psi, true)};
  results.snapshots[2].limbs[0].glue = {under_back(0.5, 105. * psi, false), under_back(0.6, -900. * psi, false)};
  const auto pull = pull_on_back(made_up::bow(), results);
  REQUIRE(pull);
  CHECK(pull->station == 0.5);
  CHECK(pull->lamination == 3);
  CHECK(pull->braced == Approx(80. * psi));
  CHECK(pull->last == Approx(105. * psi));
  CHECK_THAT(answer(made_up::bow(), results), !Contains("peel under the back"));
  results.snapshots[1].point.contact_length = 1.8 * inch;
  const auto text = answer(made_up::bow(), results);
  CHECK_THAT(text, Contains("+80 psi braced, +105 psi drawn") && Contains("+0.55, +0.72 MPa at 19.7 in"));
  check_widths(text);
  const auto sheet = csv(along_limb_sheet(made_up::bow(), results));
  CHECK_THAT(sheet, Contains("core | back glass") && Contains("105"));
  results.snapshots[2].limbs[0].glue[0].peel = -1.; // pressed on
  CHECK_FALSE(pull_on_back(made_up::bow(), results));
}

TEST_CASE("Unlike limbs are told with tiller, both halves of the string and the harder limb", "[quick]")
{
  const UnlikeBow bow;
  const auto text = answer(bow.bow_case, bow.results);
  CHECK_THAT(text, Contains("+3/8 in braced, -1 3/8 in drawn") && Contains("10.0 mm, -34.9 mm"));
  CHECK_THAT(text, Contains("67/70 lb braced, 67/70 lb drawn"));
  CHECK_THAT(text, Contains("drops 0.39 in during the draw"));      // from 0.03 m, where it was strung
  CHECK_THAT(text, Contains("2.6 degrees, top toward the archer")); // 0.045 rad
  CHECK_THAT(text, Contains("upper limb; belly 93 % upper, 91 % lower"));
  check_widths(text);

  const auto json = nlohmann::json::parse(summary_json(bow.bow_case, bow.results));
  CHECK(json["tiller_braced_m"] == Approx(0.010));
  CHECK(json["nocking_travel_m"] == Approx(-0.01));
  CHECK(json["handle_turn_rad"] == Approx(0.045));
  CHECK(json["full_draw_tension_lower_N"] == Approx(310.));
  CHECK(json["worst_index_of_each_limb"]["lower"]["belly"] == Approx(0.91));
  CHECK(json["worst_index_of_each_limb"]["lower"]["back"].is_null());

  const auto alike = nlohmann::json::parse(summary_json(made_up::bow(), made_up::results()));
  CHECK(alike["tiller_braced_m"].is_null());
  CHECK_FALSE(alike.contains("worst_index_of_each_limb"));

  const made_up::Folder folder;
  write_results(folder.path, bow.bow_case, bow.results);
  const Hdf5Source file(folder.path / "results.h5");
  CHECK(file.numbers("/steps/002/lower/faces/strain_along").size() == 24);
  CHECK(file.numbers("/steps/002/point/handle_turn") == std::vector<double>{0.045});
  CHECK(file.words("/layers/lower/lamination").size() == 4);
  const auto readme = results_readme(bow.bow_case, bow.results, {"fields/limb.pvd"});
  CHECK_THAT(readme, Contains("step_N_lower.vtu") && Contains("Tiller is"));
  CHECK_THAT(results_readme(made_up::bow(), made_up::results(), {"fields/limb.pvd"}), Contains("mirror image"));
}
