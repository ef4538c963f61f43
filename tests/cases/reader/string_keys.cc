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

TEST_CASE("A patch of a glue line is read, and looked at for sense", "[quick]")
{
  const std::string patch = "\n[[glue.patch]]\nbetween = [\"power lam\", \"back\"]\nfrom = \"8 in\"\nto = \"9 in\"\n";
  const Case bow = read_sound(good_case + patch);
  std::vector<GluePatch> found;
  for (const GlueLineDescription &line : bow.bow.upper.glue)
    found.insert(found.end(), line.patches.begin(), line.patches.end());
  REQUIRE(found.size() == 1);
  CHECK(found[0].from == Approx(8. * inch));
  CHECK(found[0].to == Approx(9. * inch));
  CHECK(found[0].open());
  const Case again = read_sound(bow.resolved);
  CHECK(again.bow.upper.glue.back().patches.size() == bow.bow.upper.glue.back().patches.size());

  const auto complaint = [](const std::string &text)
  {
    const ReadOutcome outcome = read_case_text(text, "folder/trial.toml");
    CHECK_FALSE(outcome.read);
    return outcome.errors.empty() ? std::string() : format(outcome.errors.front());
  };
  CHECK_THAT(complaint(good_case + with(patch, "\"9 in\"", "\"7 in\"")), Catch::Contains("must end closer to the tip"));
  CHECK_THAT(complaint(good_case + patch + patch), Catch::Contains("overlaps a patch"));
  CHECK_THAT(complaint(good_case + with(patch, "\"9 in\"", "\"55 in\"")), Catch::Contains("lies outside the limb"));
  CHECK_THAT(complaint(good_case + patch + "limb = \"lower\"\n"), Catch::Contains("limbs are alike"));
  CHECK_THAT(complaint(good_case + patch + "strength = 1.5\n"), Catch::Contains("glue.patch"));
}

TEST_CASE("A patch of part of the width weakens the whole of it, and one glue line alone may be told to part", "[quick]")
{
  const std::string patch = "\n[[glue.patch]]\nbetween = [\"power lam\", \"back\"]\nfrom = \"8 in\"\nto = \"9 in\"\n";
  const Case bow = read_sound(good_case + patch + "width_share = 0.3\n");
  const auto &glue = bow.bow.upper.glue;
  const GlueLineDescription &patched = glue.back();
  REQUIRE(patched.patches.size() == 1);
  CHECK(patched.patches[0].holding() == Approx(0.7));
  CHECK_FALSE(patched.patches[0].open());

  const std::string line = "thickness = \"0.006 in\"";
  const Case parting = read_sound(with(good_case, line, line + "\nparts = \"yes\""));
  for (std::size_t i = 0; i < parting.bow.upper.glue.size(); ++i)
    CHECK(parting.bow.upper.glue[i].cohesive == (i + 1 == parting.bow.upper.glue.size()));
  CHECK(read_sound(parting.resolved).bow.upper.glue.back().cohesive);

  // An adhesive that would store more at its strength than parting takes.
  const std::string brittle = "\n[adhesive.brittle]\nbased_on = \"epoxy\"\nfracture_energy_I = \"0.05 J/m2\"\n";
  const ReadOutcome refused = read_case_text(
      with(good_case, "adhesive = \"epoxy\"", "adhesive = \"brittle\"\nparts = \"yes\"") + brittle, "folder/trial.toml");
  REQUIRE_FALSE(refused.errors.empty());
  CHECK(refused.errors[0].key == "glue.parts");
  CHECK_THAT(refused.errors[0].message, Catch::Contains("cannot let go") && Catch::Contains("\"brittle\""));
}
