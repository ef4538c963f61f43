// A draw that was broken off goes on from where it was.
#include "cases/reader/case_reader.h"
#include "cases/report/path_file.h"
#include "cases/run/run.h"

#include <catch2/catch.hpp>

#include <unistd.h>

#include <atomic>

using namespace limbwright;
using Catch::Contains;

namespace
{
struct Folder
{
  std::filesystem::path path = std::filesystem::temp_directory_path() / ("limbwright_resume_" + std::to_string(::getpid()));
  Folder() { std::filesystem::create_directories(path); }
  ~Folder() { std::filesystem::remove_all(path); }
};

Case coarse(const std::string &name)
{
  auto outcome = read_case(std::filesystem::path(LIMBWRIGHT_EXAMPLES) / name / (name + ".toml"));
  REQUIRE(outcome.read);
  outcome.read->mesh.column_length = 0.04;
  outcome.read->mesh.end_refinement = 1.;
  return *outcome.read;
}

// Draws until so many steps were taken, keeps the path in a file, reads it back and draws on.
DrawResults broken_off_after(int n_steps, const Case &bow_case)
{
  const Folder folder;
  const auto file = folder.path / "begun.h5";
  std::atomic<bool> stop = false;
  int taken = 0, kept_at_the_end = 0;
  PathKeeping keeping;
  keeping.keep = [&](const DrawPath &path, bool at_the_end)
  {
    kept_at_the_end += at_the_end ? 1 : 0;
    write_path_file(file, bow_case, {}, path);
    stop = ++taken >= n_steps;
  };
  const DrawResults broken = run_draw(bow_case, {}, {}, &stop, keeping);
  REQUIRE_FALSE(broken.complete);
  REQUIRE(kept_at_the_end == 1);
  const DrawPath begun = read_path_file(file, bow_case, {});
  return run_draw(bow_case, {}, {}, nullptr, {{}, &begun});
}

void check_same(const DrawResults &results, const DrawResults &expected)
{
  REQUIRE(results.complete);
  const auto same = [](double value, double other, double share = 1e-6)
  { CHECK(value == Approx(other).epsilon(share).margin(1e-9)); };
  same(results.draw_weight, expected.draw_weight);
  same(results.stored_energy, expected.stored_energy);
  same(results.brace_tension, expected.brace_tension);
  same(results.let_down.set_upper, expected.let_down.set_upper);
  REQUIRE(results.draw_curve.size() == expected.draw_curve.size());
  for (std::size_t i = 0; i < results.draw_curve.size(); ++i)
    // Between the steps the curve follows rates by the last factorised tangent, which need not be the state's own.
    same(results.draw_curve[i].force, expected.draw_curve[i].force, 1e-4);
  REQUIRE(results.worst.size() == expected.worst.size());
  same(results.worst.front().index, expected.worst.front().index);
  REQUIRE(results.events.size() == expected.events.size());
  REQUIRE(results.overdraw.size() == expected.overdraw.size());
  same(results.overdraw.back().force, expected.overdraw.back().force);
}
} // namespace

TEST_CASE("A draw that was broken off goes on to the same end", "[slow]")
{
  // Wood that yields in eight steps of draw; two unlike limbs.
  Case bow_case = coarse(GENERATE("ash-hickory-board", "cherry-hickory-unlike"));
  bow_case.solve.brace_steps = 3;
  bow_case.solve.draw_steps = 6;
  const DrawResults whole = run_draw(bow_case, {}, {}, nullptr);
  REQUIRE(whole.complete);
  // While it was strung, and while it was drawn.
  for (const int n_steps : {1, 5})
  {
    INFO("broken off after " << n_steps << " steps");
    check_same(broken_off_after(n_steps, bow_case), whole);
  }
}

TEST_CASE("A draw that is stopped while it is let down or judged has no results, and goes on from full draw", "[quick]")
{
  Case bow_case = coarse("maple-glass-thin");
  bow_case.solve.cycles = 2;
  const std::string when = GENERATE("letting down", "drawing again", "unstringing");
  INFO(when);
  std::atomic<bool> stop = false;
  std::optional<DrawPath> kept;
  PathKeeping keeping;
  keeping.keep = [&](const DrawPath &path, bool) { kept = path; };
  const auto listener = [&](const ProgressEvent &event) { stop = stop || event.stage == when; };
  const DrawResults broken = run_draw(bow_case, {}, listener, &stop, keeping);
  CHECK_FALSE(broken.complete);
  CHECK(broken.reason == "it was interrupted");
  CHECK(broken.snapshots.empty());
  REQUIRE(kept);
  REQUIRE(kept->steps.back().stage == "full draw");
  const DrawResults results = run_draw(bow_case, {}, {}, nullptr, {{}, &*kept});
  CHECK(results.complete);
  CHECK(results.let_down.complete);
  CHECK(results.let_down.cycles.size() == 2);
}

TEST_CASE("What was kept of a draw on another mesh is refused", "[quick]")
{
  Case bow_case = coarse("maple-glass-thin");
  bow_case.solve.cycles = 0;
  std::optional<DrawPath> kept;
  PathKeeping keeping;
  keeping.keep = [&](const DrawPath &path, bool) { kept = path; };
  REQUIRE(run_draw(bow_case, {}, {}, nullptr, keeping).complete);
  REQUIRE(kept);
  REQUIRE_NOTHROW(run_draw(bow_case, {}, {}, nullptr, {{}, &*kept}));
  DrawPath other = *kept;
  other.steps.back().history[0].crushed.pop_back();
  CHECK_THROWS_AS(run_draw(bow_case, {}, {}, nullptr, {{}, &other}), CannotResume);
  other = *kept;
  other.steps.back().state.q[0][3] = not_known;
  CHECK_THROWS_AS(run_draw(bow_case, {}, {}, nullptr, {{}, &other}), CannotResume);
  bow_case.mesh.column_length = 0.02;
  CHECK_THROWS_AS(run_draw(bow_case, {}, {}, nullptr, {{}, &*kept}), CannotResume);
}

TEST_CASE("What a draw left is taken up by the same case alone", "[quick]")
{
  const Folder folder;
  const auto file = folder.path / "begun.h5";
  Case bow_case = coarse("ash-hickory-board");
  CHECK_THROWS_WITH(read_path_file(file, bow_case, {}), Contains("does not exist"));

  DrawPath path;
  PathStep step;
  step.stage = "unstrung";
  step.state.q = {Eigen::VectorXd::LinSpaced(5, 0., 1.)};
  step.state.scalars = Eigen::VectorXd::Constant(1, 3.);
  step.history = {{{0.25, 0.5}, {CohesiveState{0.1, 0.2, 0.3, 0.4, 0.5}}}};
  path.steps = {step};
  path.stringing = StringingStep{-0.5, step.state, step.history};
  path.snapped = 0.75;
  write_path_file(file, bow_case, {}, path);
  const DrawPath back = read_path_file(file, bow_case, {});
  REQUIRE(back.steps.size() == 1);
  CHECK(back.steps[0].state.q[0] == step.state.q[0]);
  CHECK(back.steps[0].history[0].crushed == step.history[0].crushed);
  CHECK(back.steps[0].history[0].glue.at(0).norm == 0.3);
  REQUIRE(back.stringing);
  CHECK(back.stringing->parameter == -0.5);
  CHECK(back.snapped == 0.75);

  CHECK_THROWS_AS(read_path_file(file, bow_case, {1, 2}), CannotResume);
  bow_case.solve.dimension = 3;
  CHECK_THROWS_WITH(read_path_file(file, bow_case, {}), Contains("another bow file"));
}
