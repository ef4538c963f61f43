#include "good_case.h"

#include "cases/reader/key_reference.h"
#include "meshing/shape/splits.h"

#include <algorithm>
#include <cmath>

using namespace limbwright;

namespace
{
const std::string cuts = R"(
[[glue.patch]]
between = ["belly", "power lam"]
from = "6 in"
to = "8 in"
filling = "epoxy-wood-dust"
strength = 0.8
gap = "0.01 in"

[[weak.split]]
lamination = "belly"
from = "16 in"
to = "19 in"
depth = "0.15 in"
slope = "1 in 50"
filling = "polyurethane"
strength = 0.6

[[weak.split]]
lamination = "back"
from = "20 in"
to = "22 in"
depth = "0.04 in"
comes_out = "back"
toward = "handle"

[[weak.wrap]]
from = "19.5 in"
to = "21 in"
material = "linen"
thickness = "0.01 in"
tension = "20 lbf/in"
)";

ReadOutcome read_cuts(const std::string &old_text, const std::string &new_text)
{
  std::string text = good_case + cuts;
  const auto at = text.find(old_text, good_case.size());
  REQUIRE(at != std::string::npos);
  return read_case_text(text.replace(at, old_text.size(), new_text), "trial.toml");
}
} // namespace

TEST_CASE("Splits and wraps are read, laminations parted, and the resolved case holds them", "[quick]")
{
  const ReadOutcome outcome = read_cuts("1 in 50", "1 in 50");
  for (const Diagnostic &error : outcome.errors)
    FAIL_CHECK(format(error));
  REQUIRE(outcome.read);
  constexpr double inch = 0.0254;
  const ReadOutcome again = read_case_text(outcome.read->resolved, "again.toml");
  for (const Diagnostic &error : again.errors)
    FAIL_CHECK(format(error));
  REQUIRE(again.read);
  for (const Case &read : {*outcome.read, *again.read})
  {
    const LimbDescription &limb = read.bow.upper;
    REQUIRE(limb.laminations.size() == 5);
    CHECK(limb.laminations[0].name == "belly, under the split");
    CHECK(limb.laminations[1].name == "belly, over the split");
    CHECK(limb.laminations[1].split_off);
    CHECK(limb.laminations[4].name == "back, over the split");
    CHECK(limb.laminations[4].start == Approx(20. * inch + 2. * inch * 0.127e-3 / (0.04 * inch)));
    CHECK(limb.laminations[4].run_out.at(0.5) == Approx(std::atan(0.05)));
    REQUIRE(limb.glue.size() == 4);
    CHECK(limb.glue[0].of_split);
    REQUIRE(limb.glue[0].patches.size() == 1);
    CHECK(limb.glue[0].patches[0].filling == "polyurethane");
    CHECK(limb.glue[0].patches[0].strength == 0.6);
    CHECK(limb.glue[0].patches[0].gap == Approx(0.005 * inch));
    REQUIRE(limb.glue[1].patches.size() == 1); // of the glue line, which has moved up
    CHECK(limb.glue[1].patches[0].filling == "epoxy-wood-dust");
    CHECK(limb.glue[2].thickness == Approx(0.006 * inch));
    CHECK(limb.glue[3].patches[0].open());
    CHECK(limb.glue[3].bond_stiffness == whole_wood_stiffness);
    CHECK(read.bow.adhesives.contains("polyurethane"));
    CHECK(read.bow.adhesives.contains("epoxy-wood-dust"));
    REQUIRE(limb.wraps.size() == 1);
    CHECK(limb.wraps[0].from == Approx(19.5 * inch));
    CHECK(limb.wraps[0].thickness == Approx(0.01 * inch));
    CHECK(limb.wraps[0].tension == Approx(20. * 175.126835).epsilon(1e-6));
    CHECK(limb.wraps[0].modulus == Approx(9e9));
    CHECK(limb.wraps[0].strength == Approx(80e6));
  }
  CHECK(key_reference().find("\n[[weak.split]]\n") != std::string::npos);
  CHECK(key_reference().find("\n[[weak.wrap]]\n") != std::string::npos);
}

TEST_CASE("What is wrong with a split, a filling or a wrap is told at its key", "[quick]")
{
  struct Bad
  {
    const char *old_text, *new_text, *key, *fragment;
  };
  for (const Bad &bad :
       {Bad{"lamination = \"belly\"", "lamination = \"bely\"", "weak.split[1].lamination", "did you mean \"belly\""},
        {"depth = \"0.15 in\"", "depth = \"0.45 in\"", "weak.split[1]", "is not inside its lamination"},
        {"to = \"19 in\"", "to = \"15 in\"", "weak.split[1]", "closer to the tip"},
        {"from = \"16 in\"", "from = \"2 in\"", "weak.split[1]", "which runs from 4 in to 32 in"},
        {"\"1 in 50\"", "\"1 in 50\"\ncomes_out = \"belly\"", "weak.split[1].slope", "goes with comes_out = \"no\""},
        {"\"1 in 50\"", "\"1 in 50\"\nslant = \"40 deg\"", "weak.split[1]", "there is room for"},
        {"\"1 in 50\"", "\"1 in 50\"\nslant = \"60 deg\"", "weak.split[1].slant", "45 deg"},
        {"toward = \"handle\"", "toward = \"handle\"\nslant = \"4 deg\"", "weak.split[2].slant", "goes with comes_out"},
        {"\"1 in 50\"", "\"1 in 50\"\ntoward = \"tip\"", "weak.split[1].toward", "goes with comes_out"},
        {"lamination = \"back\"", "lamination = \"belly\"", "weak.split[2]", "covers that face"},
        {"comes_out = \"back\"", "comes_out = \"bak\"", "weak.split[2].comes_out", "did you mean \"back\""},
        {"strength = 0.6\n", "", "weak.split[1].strength", "is missing or 0"},
        {"strength = 0.8\n", "", "glue.patch[1].strength", "is missing or 0"},
        {"\"polyurethane\"", "\"polyuretane\"", "weak.split[1].filling", "did you mean \"polyurethane\""},
        {"\"epoxy-wood-dust\"", "\"epoxy-wood-dst\"", "glue.patch[1].filling", "did you mean \"epoxy-wood-dust\""},
        {"\"linen\"", "\"linnen\"", "weak.wrap[1].material", "did you mean \"linen\""},
        {"to = \"21 in\"", "to = \"19 in\"", "weak.wrap[1].to", "closer to the tip"},
        {"from = \"19.5 in\"", "from = \"3 in\"", "weak.wrap[1]", "outside the limb"},
        {"[[weak.wrap]]", "[[weak.rap]]", "weak.rap", "did you mean \"wrap\""}})
  {
    const ReadOutcome outcome = read_cuts(bad.old_text, bad.new_text);
    INFO(bad.new_text);
    CHECK_FALSE(outcome.read);
    CHECK(std::any_of(outcome.errors.begin(), outcome.errors.end(),
                      [&](const Diagnostic &error)
                      {
                        UNSCOPED_INFO(format(error));
                        return error.key == bad.key && error.line > 0 && error.message.find(bad.fragment) != std::string::npos;
                      }));
  }
}

TEST_CASE("A split that slants across the width is read and resolved", "[quick]")
{
  const ReadOutcome outcome = read_cuts("\"1 in 50\"", "\"1 in 50\"\nslant = \"-6 deg\"");
  REQUIRE(outcome.read);
  const ReadOutcome again = read_case_text(outcome.read->resolved, "again.toml");
  REQUIRE(again.read);
  for (const Case &read : {*outcome.read, *again.read})
  {
    CHECK(read.bow.upper.glue[0].slant == Approx(-6. / 180. * 3.14159265358979));
    CHECK(read.bow.upper.glue[3].slant == 0.);
    CHECK_FALSE(read.bow.upper.even_across());
  }
}

TEST_CASE("A split goes to the limb that has it", "[quick]")
{
  const Case read = read_sound(unlike_case() + R"(
[[weak.split]]
lamination = "belly"
from = "16 in"
to = "19 in"
depth = "0.15 in"
limb = "lower"
)");
  CHECK(read.bow.upper.laminations.size() == 3);
  CHECK(read.bow.lower->laminations.size() == 4);
}
