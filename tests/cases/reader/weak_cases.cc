#include "good_case.h"

#include "cases/reader/key_reference.h"

#include <algorithm>
#include <cmath>

using namespace limbwright;

namespace
{
const std::string weak_text = R"(
[[weak.knot]]
lamination = "belly"
station = "10 in"
diameter = "3/8 in"
state = "filled"
filling_modulus = "3 GPa"
off_centre = "-0.35 in"

[[weak.knot]]
lamination = "back"
station = "20 in"
diameter = "1/8 in"
direction = "across"
state = "sound"

[[weak.run_out]]
lamination = "back"
from = "12 in"
to = "15 in"
slope = "1 in 12"
)";

ReadOutcome read_with(const std::string &old_text, const std::string &new_text)
{
  std::string text = good_case + weak_text;
  const auto at = text.find(old_text, good_case.size());
  REQUIRE(at != std::string::npos);
  return read_case_text(text.replace(at, old_text.size(), new_text), "trial.toml");
}
} // namespace

TEST_CASE("Weak zones are read into SI, and the resolved case holds them", "[quick]")
{
  const ReadOutcome outcome = read_with("1 in 12", "1 in 12");
  for (const Diagnostic &error : outcome.errors)
    FAIL_CHECK(format(error));
  REQUIRE(outcome.read);
  for (const Case &read : {*outcome.read, *read_case_text(outcome.read->resolved, "again.toml").read})
  {
    const WeakZones &weak = read.bow.upper.weak;
    REQUIRE(weak.knots.size() == 2);
    CHECK(weak.knots[0].lamination == 0);
    CHECK(weak.knots[0].station == Approx(0.254));
    CHECK(weak.knots[0].diameter == Approx(0.375 * 0.0254));
    CHECK(weak.knots[0].off_centre == Approx(-0.35 * 0.0254));
    CHECK(weak.knots[0].state == KnotState::filled);
    CHECK(weak.knots[0].filling_modulus == Approx(3e9));
    CHECK(weak.knots[1].direction == KnotDirection::across);
    CHECK(weak.knots[1].depth == Approx(0.5 * (0.12 - 0.016) * 0.0254).epsilon(1e-6)); // the middle of what is left there
    REQUIRE(weak.regions.size() == 1);
    CHECK(weak.regions[0].lamination == 2);
    CHECK(weak.regions[0].slope == Approx(std::atan(1. / 12.)));
  }
  CHECK(key_reference().find("\n[[weak.knot]]\n") != std::string::npos);
  CHECK(key_reference().find("\n[[weak.run_out]]\n") != std::string::npos);
}

TEST_CASE("What is wrong with a weak zone is told at its key", "[quick]")
{
  struct Bad
  {
    const char *old_text, *new_text, *key, *fragment;
  };
  for (const Bad &bad :
       {Bad{"\"belly\"", "\"bely\"", "weak.knot[1].lamination", "did you mean \"belly\""},
        {"\"10 in\"", "\"33 in\"", "weak.knot[1].station", "outside its lamination"},
        {"\"-0.35 in\"", "\"1.5 in\"", "weak.knot[1].off_centre", "off the limb"},
        {"filling_modulus = \"3 GPa\"\n", "", "weak.knot[1].filling_modulus", "is missing"},
        {"state = \"sound\"", "state = \"sound\"\nfilling_modulus = \"3 GPa\"", "weak.knot[2].filling_modulus",
         "goes with state = \"filled\""},
        {"state = \"filled\"", "state = \"filed\"", "weak.knot[1].state", "did you mean \"filled\""},
        {"direction = \"across\"", "direction = \"across\"\ndepth = \"0.3 in\"", "weak.knot[2].depth", "below its lamination"},
        {"direction = \"across\"", "direction = \"across\"\ndive = \"5 deg\"", "weak.knot[2].dive", "goes with"},
        {"to = \"15 in\"", "to = \"11 in\"", "weak.run_out[1].to", "closer to the tip"},
        {"from = \"12 in\"", "from = \"2 in\"", "weak.run_out[1]", "outside its lamination"},
        {"[[weak.run_out]]", "[[weak.runout]]", "weak.runout", "did you mean \"run_out\""},
        {"state = \"sound\"", "state = \"sound\"\nlimb = \"upper\"", "weak.knot[2].limb", "alike"}})
  {
    const ReadOutcome outcome = read_with(bad.old_text, bad.new_text);
    INFO(bad.new_text);
    CHECK_FALSE(outcome.read);
    const bool told =
        std::any_of(outcome.errors.begin(), outcome.errors.end(),
                    [&](const Diagnostic &error)
                    {
                      UNSCOPED_INFO(format(error));
                      return error.key == bad.key && error.line > 0 && error.message.find(bad.fragment) != std::string::npos;
                    });
    CHECK(told);
  }
}
