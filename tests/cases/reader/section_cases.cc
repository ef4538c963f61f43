#include "good_case.h"

#include "cases/reader/case_reader.h"

#include <catch2/catch.hpp>

#include <string>
#include <vector>

using namespace limbwright;

namespace
{
constexpr double inch = 0.0254;

std::string with_section(const std::string &section)
{
  const std::string old = "{shape = \"trapezoid\", back = 0.9, belly = 1.0}";
  std::string text = good_case;
  return text.replace(text.find(old), old.size(), section);
}

LimbDescription read(const std::string &section)
{
  const ReadOutcome outcome = read_case_text(with_section(section), "trial");
  for (const Diagnostic &error : outcome.errors)
    UNSCOPED_INFO(format(error));
  REQUIRE(outcome.read);
  // The resolved case is read as the same section.
  const ReadOutcome again = read_case_text(outcome.read->resolved, "trial");
  REQUIRE(again.read);
  CHECK(again.read->bow.upper.section.back.index() == outcome.read->bow.upper.section.back.index());
  CHECK(again.read->bow.upper.section.belly.index() == outcome.read->bow.upper.section.belly.index());
  return outcome.read->bow.upper;
}
} // namespace

TEST_CASE("Every shape of section is read", "[quick]")
{
  SECTION("trapped")
  {
    const auto back = std::get<TrappedFace>(read("{shape = \"trapped back\", narrow = 0.7}").section.back);
    CHECK(back.width_share == 0.7);
    CHECK(back.depth == 0.);
    const auto belly = std::get<TrappedFace>(read("{shape = \"trapped belly\", narrow = 0.6, depth = \"0.2 in\"}").section.belly);
    CHECK(belly.depth == Approx(0.2 * inch));
  }
  SECTION("rounded belly")
  {
    CHECK(std::get<EllipticFace>(read("{shape = \"rounded belly\"}").section.belly).depth == 0.);
    CHECK(std::get<EllipticFace>(read("{shape = \"rounded belly\", depth = \"whole\"}").section.belly).depth == 0.);
    const LimbDescription both = read("{shape = \"rounded belly\", curve = \"arc\", depth = \"0.2 in\", rise = \"0.1 in\"}");
    CHECK(std::get<ArcFace>(both.section.belly).rise == Approx(0.2 * inch));
    CHECK(std::get<ArcFace>(both.section.back).rise == Approx(0.1 * inch));
  }
  SECTION("crowned back")
  {
    const LimbDescription limb = read("{shape = \"crowned back\", radius = \"2.5 in\"}");
    CHECK(std::get<ArcFace>(limb.section.back).radius == Approx(2.5 * inch));
    CHECK(std::holds_alternative<PlainFace>(limb.section.belly));
    CHECK(limb.section.follow_crown);
    CHECK_FALSE(read("{shape = \"crowned back\", radius = \"2.5 in\", layers = \"flat\"}").section.follow_crown);
    CHECK_FALSE(read("{}").section.follow_crown);
  }
  SECTION("edges")
  {
    const LimbDescription round = read("{shape = \"rounded edges\", radius = \"3 mm\"}");
    CHECK(std::get<RoundedEdges>(round.section.back).radius == Approx(3e-3));
    CHECK(std::get<RoundedEdges>(round.section.belly).radius == Approx(3e-3));
    const auto facets = std::get<Facets>(read("{shape = \"facets\", across = \"4 mm\", depth = \"2 mm\"}").section.belly);
    CHECK(facets.across == Approx(4e-3));
    CHECK(facets.depth == Approx(2e-3));
  }
}

TEST_CASE("The grain of a lamination may run along the handle", "[quick]")
{
  std::string text = good_case;
  text.replace(text.find("ring = \"edge\""), 13, "grain = \"handle\"");
  const ReadOutcome outcome = read_case_text(text, "trial");
  REQUIRE(outcome.read);
  CHECK(outcome.read->bow.upper.laminations[2].grain == GrainDirection::along_handle);
  CHECK(outcome.read->bow.upper.laminations[0].grain == GrainDirection::along_lamination);
}

TEST_CASE("Prestrain and the shape it is counted from are read", "[quick]")
{
  std::string text = good_case;
  text.replace(text.find("ring = \"edge\""), 13, "shrinkage = \"0.7 %\"\nbent_to_form = \"yes\"");
  const ReadOutcome plain = read_case_text(text, "trial");
  REQUIRE(plain.read);
  const LimbDescription &limb = plain.read->bow.upper;
  CHECK(limb.laminations[2].shrinkage == Approx(0.007));
  CHECK(limb.laminations[2].bent_to_form);
  CHECK(limb.laminations[0].shrinkage == 0.);
  CHECK_FALSE(limb.laminations[0].bent_to_form);
  CHECK_FALSE(limb.profile.of_form);
  text.replace(text.find("[limb]"), 6, "[limb]\nprofile_of = \"form\"");
  const ReadOutcome of_form = read_case_text(text, "trial");
  REQUIRE(of_form.read);
  CHECK(of_form.read->bow.upper.profile.of_form);
}

TEST_CASE("Keys that do not fit the section's shape are named", "[quick]")
{
  struct Bad
  {
    std::string section, key, fragment;
  };
  for (const Bad &bad :
       std::vector<Bad>{{"{shape = \"rounded bely\"}", "limb.section.shape", "did you mean \"rounded belly\""},
                        {"{shape = \"crowned back\"}", "limb.section.radius", "needs radius or rise"},
                        {"{shape = \"crowned back\", radius = \"2 in\", rise = \"0.1 in\"}", "limb.section.rise", "not both"},
                        {"{shape = \"trapped back\"}", "limb.section.narrow", "is missing"},
                        {"{shape = \"facets\", across = \"4 mm\"}", "limb.section.depth", "is missing"},
                        {"{shape = \"rounded belly\", curve = \"arc\"}", "limb.section.depth", "needs its depth"},
                        {"{layers = \"flat\"}", "limb.section.layers", "does not go with shape = \"rectangle\""},
                        {"{shape = \"rounded belly\", layers = \"flat\"}", "limb.section.layers", "goes with a crowned back"},
                        {"{narrow = 0.5}", "limb.section.narrow", "does not go with shape = \"rectangle\""},
                        {"{shape = \"facets\", across = \"4 mm\", depth = \"2 mm\", radius = \"1 in\"}", "limb.section.radius",
                         "\"crowned back\", \"rounded belly\", \"rounded edges\""},
                        {"{shape = \"facets\", across = \"4 mm\", depth = \"2 mm\", back = 0.5}", "limb.section",
                         "go with shape = \"trapezoid\""}})
  {
    const ReadOutcome outcome = read_case_text(with_section(bad.section), "trial");
    INFO(bad.section);
    CHECK_FALSE(outcome.read);
    REQUIRE_FALSE(outcome.errors.empty());
    CHECK(outcome.errors.front().key == bad.key);
    CHECK_THAT(outcome.errors.front().message, Catch::Contains(bad.fragment));
  }
}
