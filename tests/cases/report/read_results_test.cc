#include "report/made_up_bow.h"

#include "cases/reader/case_reader.h"
#include "cases/report/answer.h"
#include "cases/report/hdf5_file.h"
#include "cases/report/read_results.h"
#include "cases/report/result_tables.h"
#include "cases/report/results_file.h"
#include "cases/report/summary.h"
#include "cases/report/words.h"
#include "cases/run/run_beside.h"

#include <catch2/catch.hpp>

using namespace limbwright;
using Catch::Contains;

namespace
{
Case example(const std::string &name)
{
  auto outcome = read_case(std::filesystem::path(LIMBWRIGHT_EXAMPLES) / name / (name + ".toml"));
  REQUIRE(outcome.read);
  outcome.read->mesh.column_length = 0.02; // as coarse as will do
  return *outcome.read;
}

void check_reads_back(const Case &bow_case, const DrawResults &results)
{
  const made_up::Folder folder;
  const auto path = folder.path / results_file_name;
  write_results_file(path, bow_case, results);
  const StoredRun read = read_results_file(path);
  CHECK(answer(read.bow_case, read.results) == answer(bow_case, results));
  CHECK(summary_json(read.bow_case, read.results) == summary_json(bow_case, results));
  CHECK(csv(along_limb_sheet(read.bow_case, read.results)) == csv(along_limb_sheet(bow_case, results)));
  CHECK(csv(draw_curve_sheet(read.bow_case, read.results)) == csv(draw_curve_sheet(bow_case, results)));
  // And written again it is the same file, as far as its tables go.
  const auto again = folder.path / "again.h5";
  write_results_file(again, read.bow_case, read.results);
  const StoredRun twice = read_results_file(again);
  REQUIRE(twice.results.let_down.snapshots.size() == results.let_down.snapshots.size());
  for (std::size_t i = 0; i < results.let_down.snapshots.size(); ++i)
  {
    CHECK(csv(step_table(twice.results.let_down.snapshots[i].point)) == csv(step_table(results.let_down.snapshots[i].point)));
    CHECK(csv(hot_spot_table(bow_case, twice.results.let_down.snapshots[i].worst)) ==
          csv(hot_spot_table(bow_case, results.let_down.snapshots[i].worst)));
  }
}
} // namespace

TEST_CASE("A run is read back from its results file as it was", "[slow]")
{
  // Glue and yielding wood; two unlike limbs; an open patch whose layer buckles; knots and sloping grain.
  const std::string name = GENERATE("maple-glass-thin", "cherry-hickory-unlike", "maple-glass-void-back", "ash-pin-knot");
  INFO(name);
  const Case bow_case = example(name);
  const DrawResults results = run_draw_beside(bow_case, {}, {}, nullptr);
  CHECK(results.flaw_costs.empty() == !draws_beside(bow_case));
  check_reads_back(bow_case, results);
}

TEST_CASE("A run that failed is read back", "[quick]")
{
  DrawResults results;
  results.failed_stage = "bracing";
  results.reason = "did not converge";
  check_reads_back(example("maple-glass-thin"), results);
}

TEST_CASE("A results file that is none, or of another program version, is told", "[quick]")
{
  const made_up::Folder folder;
  CHECK_THROWS_WITH(read_results_file(folder.path / "none.h5"), Contains("none.h5"));
  const auto path = folder.path / "other.h5";
  write_results_file(path, made_up::bow(), made_up::results()); // its case text is no whole case
  CHECK_THROWS_WITH(read_results_file(path), Contains("can no longer be read"));
  const auto before = folder.path / "before.h5";
  {
    Hdf5File file(before);
    file.attribute("/", "program", "limbwright 0.0.9");
    file.close();
  }
  CHECK_THROWS_WITH(read_results_file(before),
                    Contains("before.h5") && Contains("limbwright 0.0.9") && Contains("draw the bow again"));
  const Hdf5Source file(path);
  CHECK(file.has("/steps/002/upper/faces"));
  CHECK_FALSE(file.has("/steps/002/lower"));
  CHECK_FALSE(file.has("/no/such/place"));
}

TEST_CASE("Every mode and event has a key of its own that reads back", "[quick]")
{
  CHECK(mode_of_key("patch_growth") == FailureMode::patch_growth);
  CHECK_FALSE(mode_of_key("failure").has_value());
  CHECK(event_of_key("grows_by_itself") == Event::Kind::grows_by_itself);
  CHECK(event_of_key("first_yield") == Event::Kind::first_yield);
  CHECK_FALSE(event_of_key("").has_value());
}
