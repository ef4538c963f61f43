#include "cases/app/commands.h"
#include "cases/app/exit_codes.h"
#include "cases/app/terminal.h"
#include "report/made_up_bow.h"

#include "cases/reader/case_reader.h"
#include "cases/reader/embedded_files.h"
#include "cases/report/text_file.h"

#include <catch2/catch.hpp>

#include <cstdio>

using namespace limbwright;
using Catch::Contains;

namespace
{
/// What a command of the shell prints, errors included.
std::string printed(const std::string &command)
{
  std::string text;
  FILE *pipe = ::popen(("{ " + command + "; } 2>&1").c_str(), "r");
  REQUIRE(pipe != nullptr);
  for (int c = std::fgetc(pipe); c != EOF; c = std::fgetc(pipe))
    text += static_cast<char>(c);
  ::pclose(pipe);
  return text;
}

const std::string program = LIMBWRIGHT_PROGRAM;
} // namespace

TEST_CASE("The time left is told from the steps of the stage so far", "[quick]")
{
  TimeLeft left;
  CHECK_FALSE(left.after({"drawing", 1, 4, 0.3, 4}, 10.).has_value());
  CHECK(left.after({"drawing", 2, 4, 0.4, 4}, 12.).value() == Approx(4.));
  CHECK(left.after({"drawing", 3, 4, 0.5, 4}, 13.).value() == Approx(1.5));
  CHECK_FALSE(left.after({"letting down", 1, 8, 0.5, 4}, 14.).has_value()); // a new stage
  CHECK(left.after({"letting down", 3, 8, 0.5, 4}, 18.).value() == Approx(10.));
  CHECK_THAT(progress_text({"letting down", 3, 8, 0.5, 4}, 0., false, 10.),
             Contains("letting down  step 3 of 8") && Contains("about 10 s left"));
  CHECK_THAT(progress_text({"drawing", 3, 8, 0.5, 4}, 0., false, 300.), Contains("about 5 min left"));
  CHECK_THAT(progress_text({"drawing", 8, 8, 0.5, 4}, 0., false, 0.), !Contains("left"));
  CHECK_THAT(progress_text({"drawing", 3, 8, 0.5, 4, 20}, 0., false, std::nullopt),
             Contains("following a loose layer or opening glue (20 small steps)"));
}

TEST_CASE("What the command line says otherwise stands in the resolved case", "[quick]")
{
  const auto read = [](const std::string &text)
  {
    ReadOutcome outcome = read_case_text(text, "trial.toml");
    REQUIRE(outcome.read);
    return *outcome.read;
  };
  Case bow_case = read(embedded_examples().front().text);
  REQUIRE(bow_case.solve.dimension == 2);
  const std::string before = bow_case.resolved;
  DrawOptions options;
  take_over(options, bow_case);
  CHECK(bow_case.resolved == before);
  options.dimension = 3;
  options.no_sound = true;
  take_over(options, bow_case);
  CHECK(bow_case.solve.dimension == 3);
  CHECK_THAT(bow_case.resolved, Contains("dimension = 3\n"));
  const Case again = read(bow_case.resolved);
  CHECK(again.solve.dimension == 3);
  CHECK(again.solve.sound_beside == SoundBeside::never);
}

TEST_CASE("Help teaches with examples, and the shell completes every command and option", "[quick]")
{
  const auto help = printed(program + " --help");
  CHECK_THAT(help, Contains("limbwright begin maple-glass-thin my-bow.toml") && Contains("Exit codes"));
  const made_up::Folder folder;
  write_text_file(folder.path / "completion", printed(program + " completion"));
  const auto completes = [&](const std::string &words, int at)
  {
    return printed("bash -c '. " + (folder.path / "completion").string() + "; cd " + folder.path.string() + "; COMP_WORDS=(" +
                   words + "); COMP_CWORD=" + std::to_string(at) + "; _limbwright; echo \"${COMPREPLY[*]}\"'");
  };
  for (const char *command : {"draw", "report", "compare", "patch", "completion", "check", "begin", "keys", "materials"})
  {
    INFO(command);
    CHECK_THAT(help, Contains(std::string("  ") + command + " "));
    CHECK_THAT(completes(program + " \"\"", 1), Contains(command));
  }
  for (const char *option : {"--out", "--quiet", "--json", "--pictures"})
  {
    CHECK_THAT(printed(program + " draw --help"), Contains(option));
    CHECK_THAT(completes(program + " draw --", 2), Contains(option));
  }
  for (const char *option : {"--page", "--equal-weight"})
  {
    CHECK_THAT(printed(program + " compare --help"), Contains(option));
    CHECK_THAT(completes(program + " compare a --", 3), Contains(option));
  }
  CHECK_THAT(completes(program + " begin maple-glass-th", 2), Contains("maple-glass-thick maple-glass-thin"));
  CHECK_THAT(completes(program + " materials hard", 2), Contains("hard-maple"));
}

TEST_CASE("What is no results folder is told, and nothing is written", "[quick]")
{
  const made_up::Folder folder;
  const auto place = folder.path.string();
  CHECK_THAT(printed("cd " + place + " && " + program + " report " + place + "; echo code $?"),
             Contains("no results.h5") && Contains("code 2"));
  CHECK_THAT(printed("cd " + place + " && " + program + " compare " + place + " " + place + "; echo code $?"),
             Contains("no results.h5") && Contains("code 2"));
  CHECK_THAT(printed("cd " + place + " && " + program + " compare " + place + "; echo code $?"),
             Contains("code 2")); // one is none
  CHECK(std::filesystem::is_empty(folder.path));
  write_text_file(folder.path / "results.h5", "no such file format");
  CHECK_THAT(printed(program + " report " + place + "; echo code $?"),
             Contains("cannot read") && Contains("draw its case") && Contains("code 2"));
}

TEST_CASE("Pictures that cannot be made harm nothing", "[slow]")
{
  const made_up::Folder folder;
  const auto place = folder.path.string();
  // A display that is not there: VTK then ends the picture program.
  const auto text = printed("cd " + place + " && DISPLAY=:987 " + program + " draw " + LIMBWRIGHT_EXAMPLES +
                            "/spruce-linen-flatbow/spruce-linen-flatbow.toml --out bow --quiet --pictures; echo code $?");
  CHECK_THAT(text, Contains("No pictures were made") && Contains("code 0"));
  CHECK(std::filesystem::is_regular_file(folder.path / "bow" / "report.html"));
  CHECK_FALSE(std::filesystem::exists(folder.path / "bow" / "pictures"));
}
