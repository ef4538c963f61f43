#include "cases/reader/case_reader.h"
#include "cases/reader/embedded_files.h"
#include "cases/report/output_units.h"
#include "cases/study/case_edit.h"

#include <catch2/catch.hpp>

using namespace limbwright;

namespace
{
const std::string text = R"(# a bow
title = "näme" # kept
[limb]
width = {s = "mm", width = "in", rows = [
  [100, 1.4], # butt
  [700, 0.5]]}
nock = {depth = "belly"}
[[limb.lamination]]
name = "belly glass"
thickness = "0.036 in" # from the roll
[[limb.lamination]]
name = "core"
thickness = "0.2 in"
)";

std::string edited(const std::string &path, const std::string &value)
{
  const EditedCase result = with_value(text, path, value);
  INFO(result.error);
  REQUIRE(result.error.empty());
  return result.text;
}

std::string exchanged(std::string in, const std::string &from, const std::string &to)
{
  return in.replace(in.find(from), from.size(), to);
}
} // namespace

TEST_CASE("A value of a case is exchanged and nothing else", "[quick]")
{
  CHECK(edited("limb.lamination[1].thickness", "0.043 in") == exchanged(text, "0.036 in", "0.043 in"));
  CHECK(edited("limb.lamination[belly glass].thickness", "\"0.043 in\"") == exchanged(text, "0.036 in", "0.043 in"));
  CHECK(edited("belly glass.thickness", "0.043 in") == exchanged(text, "0.036 in", "0.043 in"));
  CHECK(edited("title", "other") == exchanged(text, "näme", "other"));
  CHECK(edited("limb.width.rows[2][2]", "0.375") == exchanged(text, "0.5]", "0.375]"));
  CHECK(edited("limb.width.rows[2][2]", "3/8 in") == exchanged(text, "0.5]", "0.375]"));
  CHECK(edited("limb.width.rows[1][1]", "4 in") == exchanged(text, "[100", "[101.6"));
  CHECK(edited("belly glass.thickness + core.thickness", "0.05 in") ==
        exchanged(exchanged(text, "0.036 in", "0.05 in"), "0.2 in", "0.05 in"));
}

TEST_CASE("A key that is not there is added to its table", "[quick]")
{
  CHECK(edited("core.material", "ash") ==
        exchanged(text, "[[limb.lamination]]\nname = \"core\"", "[[limb.lamination]]\nmaterial = \"ash\"\nname = \"core\""));
  CHECK(edited("solve.cycles", "0") == text + "\n[solve]\ncycles = 0\n");
}

TEST_CASE("A path that leads nowhere is told", "[quick]")
{
  CHECK(with_value(text, "limb.widht.rows[1][2]", "1").error.find("did you mean \"width\"") != std::string::npos);
  CHECK(with_value(text, "limb.width.rows[3][2]", "1").error.find("2 entries") != std::string::npos);
  CHECK(with_value(text, "limb.width.rows[1][2]", "3 lbf").error.find("unit of that column") != std::string::npos);
  CHECK_FALSE(with_value(text, "limb", "1").error.empty());
  CHECK_FALSE(with_value(text, "", "1").error.empty());
  CHECK_FALSE(with_value("a = [", "a", "1").error.empty());
}

TEST_CASE("An example reads back with a key exchanged", "[quick]")
{
  for (const auto &example : embedded_examples())
  {
    const EditedCase longer = with_value(example.text, "bow.brace_height", "5.5 in");
    REQUIRE(longer.error.empty());
    const ReadOutcome outcome = read_case_text(longer.text, example.name + ".toml");
    INFO(example.name);
    REQUIRE(outcome.read);
    CHECK(outcome.read->bow.brace_height == Approx(5.5 * inch));
  }
}
