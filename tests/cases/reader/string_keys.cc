#include "good_case.h"

#include "cases/reader/case_reader.h"

#include <catch2/catch.hpp>

#include <string>
#include <vector>

using namespace limbwright;

namespace
{
constexpr double inch = 0.0254;
} // namespace

TEST_CASE("A groove for the string and a string bridge are read, and looked at for sense", "[quick]")
{
  CHECK_FALSE(read_sound(unlike_case()).bow.upper.bridge);
  const auto bridged = [](const std::string &lines)
  { return with(unlike_case(), "[upper]", "[lower.bridge]\n" + lines + "\n[upper]"); };
  const auto grooved = [](const std::string &text, const std::string &values)
  { return with(text, "nock = {from_tip = \"0 in\", ", "nock = {" + values + ", from_tip = \"0 in\", "); };
  const Case read =
      read_sound(grooved(bridged("station = \"28 in\"\nheight = \"0.5 in\""), "groove = \"1.5 in\", groove_depth = \"0.06 in\""));
  CHECK_FALSE(read.bow.upper.bridge);
  REQUIRE(read.bow.lower->bridge);
  CHECK(read.bow.lower->bridge->station == Approx(28. * inch));
  CHECK(read.bow.lower->bridge->height == Approx(0.5 * inch));
  CHECK(read.bow.upper.nock.groove_length == Approx(1.5 * inch));
  CHECK(read.bow.upper.nock.groove_depth == Approx(0.06 * inch));
  CHECK(read.bow.lower->nock.groove_length == 0.);
  const Case again = read_sound(read.resolved);
  REQUIRE(again.bow.lower->bridge);
  CHECK(again.bow.lower->bridge->station == Approx(read.bow.lower->bridge->station));
  CHECK(again.bow.upper.nock.groove_depth == Approx(read.bow.upper.nock.groove_depth));

  const auto complaint = [](const std::string &text)
  {
    const ReadOutcome outcome = read_case_text(text, "trial.toml");
    REQUIRE(outcome.errors.size() == 1);
    return outcome.errors[0].key + ": " + outcome.errors[0].message;
  };
  CHECK(complaint(bridged("station = \"40 in\"\nheight = \"0.5 in\"")).find("lower.bridge.station: the bridge stands at") == 0);
  CHECK(complaint(bridged("station = \"28 in\"")).find("lower.bridge") == 0);
  CHECK(complaint(grooved(unlike_case(), "groove = \"1 in\"")).find("upper.nock.groove: ") == 0);
  CHECK(complaint(grooved(unlike_case(), "groove_depth = \"0.1 in\"")).find("upper.nock.groove_depth: ") == 0);
}
