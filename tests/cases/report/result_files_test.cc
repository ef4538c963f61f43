#include "report/made_up_bow.h"

#include "cases/report/checksum.h"
#include "cases/report/hdf5_file.h"
#include "cases/report/result_tables.h"
#include "cases/report/results_folder.h"
#include "cases/report/summary.h"
#include "cases/report/text_file.h"
#include "cases/report/write_results.h"

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <sstream>

using namespace limbwright;
using Catch::Contains;

namespace
{
std::vector<std::string> lines_of(const std::string &text)
{
  std::vector<std::string> lines;
  std::istringstream stream(text);
  for (std::string line; std::getline(stream, line);)
    lines.push_back(line);
  return lines;
}
} // namespace

TEST_CASE("All files are written, and the manifest lists them", "[quick]")
{
  const made_up::Folder folder;
  std::filesystem::create_directory(folder.path / fields_folder);
  write_text_file(folder.path / fields_folder / "limb.pvd", "<VTKFile/>");
  write_results(folder.path, made_up::bow(), made_up::results());
  close_results(folder.path, made_up::bow(), made_up::results(), {});

  const auto manifest = nlohmann::json::parse(read_text_file(folder.path / "manifest.json"));
  std::size_t n_files = 0;
  for (const auto &entry : std::filesystem::recursive_directory_iterator(folder.path))
    if (entry.is_regular_file())
    {
      ++n_files;
      const auto name = std::filesystem::relative(entry.path(), folder.path).string();
      CHECK(std::count(manifest["files"].begin(), manifest["files"].end(), name) == 1);
    }
  CHECK(manifest["files"].size() == n_files);
  CHECK(n_files == 9);
  CHECK(manifest["seconds"]["solve"] == Approx(2.));
  CHECK(manifest["mesh"]["unknowns"] == 8194);
  CHECK(manifest["peak_memory_MB"] > 1.);
  CHECK_THAT(manifest["started_utc"].get<std::string>(), Catch::Matches("[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9:]{8}Z"));
  CHECK(manifest["libraries"].contains("deal.II"));
  CHECK(read_text_file(folder.path / "case.resolved.toml") == made_up::bow().resolved);
  CHECK_THAT(read_text_file(folder.path / "README.txt"), Contains("fields/limb.pvd") && Contains("INCHES"));
  CHECK(is_results_folder(folder.path));

  // A checksum of each but the manifest, also of what is written anew.
  CHECK(manifest["crc32"].size() == n_files - 1);
  CHECK(manifest["crc32"]["results.h5"] == checksum(folder.path / "results.h5"));
  write_text_file(folder.path / "answer.txt", "other words");
  list_in_manifest(folder.path, "answer.txt");
  const auto again = nlohmann::json::parse(read_text_file(folder.path / "manifest.json"));
  CHECK(again["files"] == manifest["files"]);
  CHECK(again["crc32"]["answer.txt"] == checksum(folder.path / "answer.txt"));
  CHECK(again["crc32"]["answer.txt"] != manifest["crc32"]["answer.txt"]);
}

TEST_CASE("The summary holds SI numbers under keys that end with the unit", "[quick]")
{
  const auto json = nlohmann::json::parse(summary_json(made_up::bow(), made_up::results()));
  CHECK(json["draw_weight_N"] == Approx(200.));
  CHECK(json["draw_length_m"] == Approx(0.66675));
  CHECK(json["draw_length_told_m"] == Approx(0.7112));
  CHECK(json["rise_at_full_draw_N_per_m"] == Approx(400.));
  CHECK(json["string_angle_rad"] == Approx(1.4));
  CHECK(json["mass_of_each_limb_kg"]["lower"] == Approx(0.15));
  CHECK(json["complete"] == true);
  REQUIRE(json["worst"].size() == 6);
  CHECK(json["worst"][0]["value_1"] == Approx(0.0086));
  CHECK(json["worst"][0]["draw_length_at_index_1_m"].is_null());
  CHECK(json["worst"][3]["limit_Pa"] == Approx(800e6));
  CHECK(json["worst"][3]["draw_length_at_index_1_m"] == Approx(0.70));
  CHECK(json["worst"][5]["layer"] == "core | power lam");
  CHECK(json["worst"][5]["averaged"] == true);
}

TEST_CASE("Unknown numbers are null, and no text can break the summary", "[quick]")
{
  auto results = made_up::results();
  results.tip_angle = not_known;
  results.worst[0].limit = not_known;
  auto made = made_up::bow();
  made.title = "quotes \" and a byte that is no letter: \xff";
  const auto json = nlohmann::json::parse(summary_json(made, results));
  CHECK(json["tip_angle_rad"].is_null());
  CHECK(json["worst"][0]["limit_1"].is_null());
}

TEST_CASE("Expectations are met within their tolerance, and only by a complete run", "[quick]")
{
  auto results = made_up::results();
  auto outcomes = compare_expectations(made_up::bow(), results);
  REQUIRE(outcomes.size() == 3);
  CHECK(outcomes[0].met);
  CHECK_FALSE(outcomes[1].met); // 50 J found, 70 J expected
  CHECK(outcomes[1].found == 50.);
  CHECK_FALSE(outcomes[2].met);
  results.complete = false;
  CHECK_FALSE(compare_expectations(made_up::bow(), results)[0].met);
}

TEST_CASE("The sheet of the draw curve has units in its heads", "[quick]")
{
  const auto lines = lines_of(csv(draw_curve_sheet(made_up::bow(), made_up::results())));
  REQUIRE(lines.size() == 4);
  CHECK_THAT(lines[0], Catch::StartsWith("draw_length_in,draw_length_mm,pivot_to_nocking_point_in,pivot_to_nocking_point_mm,"
                                         "force_lb,force_N,rise_lb_per_in,rise_N_per_m,"));
  CHECK_THAT(lines[3], Catch::StartsWith("28,711.2,26.25,666.75,44.961789,200,2.2840589,400,"));
}

TEST_CASE("The sheet along the limb has every face and glue line of the last state", "[quick]")
{
  const auto sheet = along_limb_sheet(made_up::bow(), made_up::results());
  CHECK(n_rows(sheet) == 27); // three stations, of four layers two faces each and one glue line
  const auto lines = lines_of(csv(sheet));
  CHECK_THAT(lines[0], Contains("station_in") && Contains("strain_along_percent") && Contains("stress_along_MPa") &&
                           Contains("stress_across_MPa") && Contains("glue_shear_psi") && Contains("curvature_change_1_per_m"));
  CHECK_THAT(lines[1], Catch::StartsWith("either,9.8425197,250,belly glass,belly face,-0.4,"));
  CHECK_THAT(lines[25], Catch::StartsWith("either,9.8425197,250,core | power lam,glue line,,,,,,,,,290.07548,2,"));
  for (const auto &line : lines)
    CHECK(std::count(line.begin(), line.end(), ',') == 23);
}

TEST_CASE("Words with commas and quotes are quoted in a table", "[quick]")
{
  const std::vector<std::string> names{"glass, 0.040", "the \"good\" one"};
  CHECK(csv({{word_column("name", names, [](const std::string &n) { return n; })}}) ==
        "name\n\"glass, 0.040\"\n\"the \"\"good\"\" one\"\n");
}

TEST_CASE("Words that a spreadsheet would take for a formula are texts, numbers stay numbers", "[quick]")
{
  const std::vector<std::string> names{"=1+1", "+cmd", "-2 deg", "@sum", "-2.5", "+1e3", "plain"};
  CHECK(csv({{word_column("=name", names, [](const std::string &n) { return n; })}}) ==
        "'=name\n'=1+1\n'+cmd\n'-2 deg\n'@sum\n-2.5\n+1e3\nplain\n");
}

TEST_CASE("The results file reads back with its units", "[quick]")
{
  const made_up::Folder folder;
  write_results(folder.path, made_up::bow(), made_up::results());
  const Hdf5Source file(folder.path / "results.h5");
  CHECK(file.numbers("/draw_curve/force") == std::vector<double>{0., 100., 200.});
  CHECK(file.attribute("/draw_curve/force", "unit") == "N");
  CHECK(file.numbers("/summary/draw_weight_N") == std::vector<double>{200.});
  CHECK(file.words("/case/resolved").front() == made_up::bow().resolved);
  CHECK(file.words("/case/title") == std::vector<std::string>{"A made-up bow"});
  CHECK(file.attribute("/steps/001", "stage") == "braced");
  CHECK(file.numbers("/steps/002/upper/faces/strain_along").size() == 24);
  CHECK(file.attribute("/steps/002/upper/glue/shear", "unit") == "Pa");
  CHECK(file.words("/worst/mode").at(5) == "glue_shear");
  CHECK(file.words("/layers/upper/lamination").at(3) == "back glass");
  // The extremes stand at the middle station, at full draw.
  CHECK(file.numbers("/layers/upper/largest_strain_along").at(3) == Approx(0.009));
  CHECK(file.numbers("/layers/upper/largest_strain_along_station").at(3) == Approx(0.5));
  CHECK(file.numbers("/layers/upper/largest_strain_along_draw").at(3) == Approx(0.66675));
  CHECK(file.numbers("/layers/upper/smallest_strain_along").at(0) == Approx(-0.008));
  CHECK_THROWS_WITH(file.numbers("/no/such/place"), Contains("/no/such/place"));
}

TEST_CASE("A run that never drew is written as well", "[quick]")
{
  const made_up::Folder folder;
  DrawResults results;
  results.failed_stage = "bracing";
  results.reason = "did not converge";
  write_results(folder.path, made_up::bow(), results);
  close_results(folder.path, made_up::bow(), results, {});
  CHECK(nlohmann::json::parse(read_text_file(folder.path / "summary.json"))["failed_stage"] == "bracing");
  CHECK_THAT(read_text_file(folder.path / "README.txt"), Contains("NOT COMPLETE"));
  CHECK(Hdf5Source(folder.path / "results.h5").numbers("/draw_curve/force").empty());
  CHECK(Hdf5Source(folder.path / "results.h5").attribute("/", "complete") == "no");
}

TEST_CASE("Files that cannot be written are named with the reason", "[quick]")
{
  const made_up::Folder folder;
  CHECK_THROWS_WITH(write_text_file("/dev/full", "text"), Contains("/dev/full") && Contains("No space left"));
  write_text_file(folder.path / "file", "text");
  CHECK_THROWS_AS(write_text_file(folder.path / "file" / "below", "text"), CannotWrite);
  CHECK_THROWS_WITH(write_text_file(folder.path / "file", "other", Existing::refuse), Contains("already"));
  CHECK(read_text_file(folder.path / "file") == "text");
  // What is replaced stays until the new text is whole, and a link stays a link.
  std::filesystem::create_symlink("file", folder.path / "link");
  write_text_file(folder.path / "link", "new");
  CHECK(read_text_file(folder.path / "file") == "new");
  CHECK(std::filesystem::is_symlink(folder.path / "link"));
  CHECK_FALSE(std::filesystem::exists(folder.path / "file.part"));
  Hdf5File below(folder.path / "file" / "below.h5");
  CHECK_THROWS_AS(below.close(), CannotWrite);
}
