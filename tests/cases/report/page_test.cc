#include "report/made_up_bow.h"

#include "cases/reader/case_reader.h"
#include "cases/report/comparison.h"
#include "cases/report/hdf5_file.h"
#include "cases/report/page/advice.h"
#include "cases/report/page/base64.h"
#include "cases/report/page/bending.h"
#include "cases/report/page/questions.h"
#include "cases/report/page/write_page.h"
#include "cases/report/results_file.h"
#include "cases/report/text_file.h"
#include "cases/report/text_layout.h"
#include "cases/report/verdict.h"
#include "cases/report/words.h"
#include "cases/run/run.h"

#include <catch2/catch.hpp>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

using namespace limbwright;
using Catch::Contains;
using nlohmann::json;

namespace
{
/// One drawn bow for all of these tests: its folder with results.h5, and what was written into it.
struct Drawn
{
  made_up::Folder folder;
  StoredRun run;

  Drawn()
  {
    auto outcome = read_case(std::filesystem::path(LIMBWRIGHT_EXAMPLES) / "maple-glass-thin" / "maple-glass-thin.toml");
    outcome.read->mesh.column_length = 0.02; // coarse: the numbers need not be good here, only the same
    run.bow_case = *outcome.read;
    run.results = run_draw(run.bow_case, {}, {}, nullptr);
    write_results_file(folder.path / results_file_name, run.bow_case, run.results);
  }
};

const Drawn &drawn()
{
  static const Drawn one;
  return one;
}

/// Every number of a column of the page against the same column of the results file, at the rows that `keep` chooses.
template <class Keep>
void check_column(const json &shown, const std::vector<double> &stored, double added, Keep keep)
{
  std::size_t n = 0;
  for (std::size_t i = 0; i < stored.size(); ++i)
  {
    if (!keep(i))
      continue;
    REQUIRE(n < shown.size());
    CHECK(shown[n++].get<double>() == stored[i] + added); // exactly: the text holds the shortest digits that read back
  }
  CHECK(n == shown.size());
  CHECK(n > 0);
}

void check_column(const json &shown, const std::vector<double> &stored, double added = 0.)
{
  check_column(shown, stored, added, [](std::size_t) { return true; });
}
} // namespace

TEST_CASE("Series of the page are the numbers of results.h5", "[quick]")
{
  const Hdf5Source file(drawn().folder.path / results_file_name);
  const auto page = json::parse(page_data(read_results_file(drawn().folder.path / results_file_name)));
  const double offset = convention_offset(drawn().run.bow_case);
  check_column(page["curve"]["drawn"]["force"], file.numbers("/draw_curve/force"));
  check_column(page["curve"]["drawn"]["draw"], file.numbers("/draw_curve/draw"), offset);
  check_column(page["curve"]["past"]["force"], file.numbers("/past_full_draw/force"));

  std::string last;
  for (int i = 0; file.has("/steps/" + std::string(i < 10 ? "00" : "0") + std::to_string(i)); ++i)
    last = "/steps/" + std::string(i < 10 ? "00" : "0") + std::to_string(i);
  REQUIRE(file.attribute(last, "stage") == "full draw");
  const auto lamination = file.numbers(last + "/upper/faces/lamination");
  const auto face = file.words(last + "/upper/faces/face");
  const auto &limb = page["limbs"][0];
  REQUIRE(limb["layers"].size() == drawn().run.bow_case.bow.upper.laminations.size());
  for (std::size_t layer = 0; layer < limb["layers"].size(); ++layer)
    for (const char *side : {"belly", "back"})
    {
      const auto here = [&](std::size_t i)
      { return lamination[i] == static_cast<double>(layer) && face[i] == std::string(side) + " face"; };
      check_column(limb["layers"][layer][side]["strain"], file.numbers(last + "/upper/faces/strain_along"), 0., here);
      check_column(limb["layers"][layer][side]["stress"], file.numbers(last + "/upper/faces/stress_along"), 0., here);
    }
  const auto line = file.numbers(last + "/upper/glue/line"), back = file.numbers(last + "/upper/glue/back_lamination");
  // The outermost line is the last; there is one pair of layers for it in this bow.
  const auto outermost = static_cast<double>(limb["layers"].size() - 2);
  check_column(limb["lines"].back()["shear"], file.numbers(last + "/upper/glue/mean_shear"), 0.,
               [&](std::size_t i) { return line[i] == outermost && back[i] == outermost + 1.; });
  check_column(limb["sections"]["curvature_change"], file.numbers(last + "/upper/sections/curvature_change"));

  const auto index = file.numbers("/worst/index");
  for (const auto &spot : page["spots"])
    CHECK(std::count(index.begin(), index.end(), spot["index"].get<double>()) > 0);
}

TEST_CASE("Figures told are those of results.h5 in both systems of units", "[quick]")
{
  const Hdf5Source file(drawn().folder.path / results_file_name);
  const auto page = json::parse(page_data(drawn().run));
  const double weight = file.numbers("/summary/draw_weight_N").at(0);
  CHECK(page["figures"][0]["value"]["trade"] == fmt::format("{:.1f} lb", weight / 4.4482216152605)); // NIST SP 811, exact
  CHECK(page["figures"][0]["value"]["metric"] == fmt::format("{:.0f} N", weight));
  CHECK_THAT(page["verdict"]["text"]["metric"].get<std::string>(),
             Contains(fmt::format("{:.0f} N", weight)) && !Contains(" in,"));
  REQUIRE(page["questions"].size() == 12);
  for (const auto &question : page["questions"])
    for (const char *units : {"trade", "metric"})
      CHECK(question["answer"][units].get<std::string>().size() > 20);
  for (const auto &spot : page["spots"])
    CHECK(spot["close_up"]["layers"].size() >= 3);
  CHECK(page["shapes"].size() == 4);
  // The nocking point of the full draw is the tip of the drawn string.
  const auto &string = page["shapes"][2]["string"];
  CHECK(string["x"][1].get<double>() == -file.numbers("/summary/draw_length_m").at(0));
  CHECK(page["section"]["layers"].size() >= 3);
  CHECK(page["materials"].size() == drawn().run.bow_case.bow.materials.size() + drawn().run.bow_case.bow.adhesives.size());
}

TEST_CASE("The outline's string ends at the tip that the draw curve tells", "[quick]")
{
  const auto page = json::parse(page_data(drawn().run));
  const auto &string = page["shapes"][2]["string"];
  const auto &tip = drawn().run.results.snapshots.back().point;
  // The section between two columns is taken as linear here: within the thickness of a layer.
  CHECK(std::abs(string["x"].back().get<double>() - tip.tip_x) < 1e-3);
  CHECK(std::abs(string["y"].back().get<double>() - tip.tip_y) < 1e-3);
}

TEST_CASE("The page is whole, made again it is the same, and no text ends its scripts", "[quick]")
{
  const auto &folder = drawn().folder.path;
  write_page(folder);
  const auto first = read_text_file(folder / page_file_name);
  write_page(folder);
  CHECK(read_text_file(folder / page_file_name) == first);
  CHECK_THAT(first, Contains("<!DOCTYPE html>") && !Contains("<!-- data -->") && !Contains("<!-- scripts -->"));
  const auto hostile = whole_page("a <b> & c", R"({"title":"</script><script>alert(1)</script><!--"})");
  CHECK_THAT(hostile, Contains("a &lt;b&gt; &amp; c") && !Contains("</script><script>alert"));
}

TEST_CASE("A run that was never strung still has its page, and can be compared", "[quick]")
{
  StoredRun failed{drawn().run.bow_case, {}};
  failed.results.failed_stage = "stringing";
  failed.results.reason = "did not converge";
  const auto page = json::parse(page_data(failed));
  CHECK(page["verdict"]["words"] == "not finished: no verdict");
  CHECK_THAT(page["verdict"]["text"]["trade"].get<std::string>(), Contains("stringing") && Contains("no draw weight"));
  CHECK(page["questions"].size() == 12);
  CHECK(page["limbs"].empty());
  CHECK_THAT(comparison_table(compared({drawn().run, failed}, {"a", "b"}, false)), Contains("NOT FINISHED"));
}

TEST_CASE("Bows side by side: the same run differs nowhere, and width alone makes weights equal", "[quick]")
{
  auto heavier = drawn().run;
  heavier.results.draw_weight *= 1.25;
  const auto same = compared_quantities(compared({drawn().run, drawn().run}, {"a", "b"}, true));
  for (const auto &quantity : same)
  {
    INFO(quantity.name);
    CHECK((quantity.values[0] == quantity.values[1] || std::isnan(quantity.values[0])));
  }
  const auto runs = compared({drawn().run, heavier}, {"a", "b"}, true);
  CHECK(runs[1].width_factor == Approx(0.8));
  for (const auto &quantity : compared_quantities(runs))
    if (quantity.name == "draw weight")
      CHECK(quantity.values[1] == Approx(quantity.values[0]));
    else if (quantity.name == "energy stored" || quantity.name == "upper limb weighs")
      CHECK(quantity.values[1] == Approx(0.8 * quantity.values[0]));
    else if (quantity.name == "hardest worked, of its strength" || quantity.name == "largest tension strain")
      CHECK(quantity.values[1] == quantity.values[0]);
  CHECK_THAT(unwrapped(comparison_table(runs)), Contains("width x 0.800"));
  const auto page = json::parse(comparison_data(runs));
  CHECK(page["runs"][1]["curve"]["drawn"]["force"].back() ==
        Approx(0.8 * page["runs"][0]["curve"]["drawn"]["force"].back().get<double>()));
  CHECK(difference_told(0.0001, told_force, Units::trade) == "=");
  CHECK(difference_told(-2. * 4.4482216152605, told_force, Units::trade) == "-2.0");
  auto never_drawn = drawn().run;
  never_drawn.results.draw_weight = 0.;
  CHECK_THROWS_WITH(compared({drawn().run, never_drawn}, {"a", "b"}, true), Contains("--equal-weight"));
}

TEST_CASE("Every mode has something to look for and something that helps", "[quick]")
{
  for (int mode = 0; mode <= static_cast<int>(FailureMode::patch_growth); ++mode)
    for (const int lamination : {0, 1})
    {
      const auto advice =
          advice_on(made_up::bow(), made_up::spot(lamination, -1, Face::back, static_cast<FailureMode>(mode), 1., 1., 1.));
      CHECK(advice.look.size() > 20);
      CHECK(advice.helps.size() > 20);
    }
}

TEST_CASE("A hinge is found where one is, and not where a stiff fade begins", "[quick]")
{
  DrawResults results;
  results.snapshots.resize(1);
  results.snapshots[0].limbs.resize(1);
  auto &sections = results.snapshots[0].limbs[0].sections;
  for (int i = 0; i <= 120; ++i)
  {
    SectionState section;
    section.station = 0.1 + 0.005 * i;
    section.curvature_change = i < 20 ? 0.05 * i : 1.; // bends evenly beyond the fade
    sections.push_back(section);
  }
  REQUIRE(sharpest_bend(results));
  CHECK(sharpest_bend(results)->over_mean < hinge_ratio);
  for (int i = 58; i <= 62; ++i)
    sections[static_cast<std::size_t>(i)].curvature_change = 2.;
  CHECK(sharpest_bend(results)->over_mean > hinge_ratio);
  CHECK(sharpest_bend(results)->station == Approx(0.4).margin(0.011));
  CHECK_FALSE(sharpest_bend(DrawResults{}).has_value());
}

TEST_CASE("Base64 of the examples of RFC 4648, section 10", "[quick]")
{
  CHECK(base64("").empty());
  CHECK(base64("f") == "Zg==");
  CHECK(base64("fo") == "Zm8=");
  CHECK(base64("foo") == "Zm9v");
  CHECK(base64("foob") == "Zm9vYg==");
  CHECK(base64("foobar") == "Zm9vYmFy");
}
