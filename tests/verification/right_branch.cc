#include "support/cases.h"
#include "support/check_table.h"

#include <fmt/format.h>

#include <string>

using namespace limbwright;
using namespace limbwright::checks;

namespace
{
const char *const sinew_bow = R"(title = "Short bow of horn, hickory and sinew"
[bow]
nock_to_nock = "47 in"
brace_height = "5.8 in"
draw_length = "22 in"
[handle]
rigid_half_length = "2.9 in"
throat_to_back = "2 in"
[string]
EA = "8000 lbf"
mass = "190 grain"
[limb]
width = {s = "in", width = "in", rows = [[2.9, 2.2], [23.5, 0.6]]}
profile = "0 deg"
profile_of = "form"
nock = {depth = "middle"}
[[limb.lamination]]
name = "horn"
material = "horn"
thickness = "0.09 in"
[[limb.lamination]]
name = "core"
material = "shagbark-hickory"
thickness = {s = "in", thickness = "in", rows = [[2.9, 0.14], [12, 0.135], [20, 0.1], [23.5, 0.1]]}
[[limb.lamination]]
name = "sinew"
material = "sinew"
thickness = {s = "in", thickness = "in", rows = [[2.9, 0.09], [23.5, 0.055]]}
shrinkage = "1.5 %"
[glue]
adhesive = "hide-glue"
thickness = "0.002 in"
[solve]
)";

const char *const knotty_stave = R"(title = "Spruce stave with a filled knot by the handle"
[bow]
nock_to_nock = "60 in"
brace_height = "6.5 in"
draw_length = "28 in"
[handle]
rigid_half_length = "5.4 in"
throat_to_back = "1.9 in"
[string]
EA = "25000 lbf"
mass = "150 grain"
[limb]
width = {s = "in", width = "in", rows = [[5.4, 0.7], [8.4, 1], [16.5, 0.93], [30, 0.55]]}
profile = {s = "in", lean = "deg", rows = [[5.4, 0], [15, 0], [30, 9]]}
nock = {depth = "belly"}
[[limb.lamination]]
name = "stave"
material = "sitka-spruce"
thickness = {s = "in", thickness = "in", rows = [[5.4, 0.47], [16.5, 0.445], [26.3, 0.28], [30, 0.28]]}
[[weak.knot]]
lamination = "stave"
station = "6.8 in"
diameter = "0.375 in"
state = "filled"
direction = "through"
filling_modulus = "2 GPa"
dive = "-23 deg"
[solve]
)";

DrawResults drawn(const std::string &text)
{
  const ReadOutcome outcome = read_case_text(text, "bow.toml");
  REQUIRE(outcome.read);
  return run_draw(*outcome.read, {}, {}, nullptr);
}
} // namespace

TEST_CASE("A short bow that sinew draws forward is strung to the branch that it takes, in few steps as in many", "[verification]")
{
  const DrawResults few = drawn(std::string(sinew_bow) + "cycles = 0\n"),
                    many = drawn(std::string(sinew_bow) + "cycles = 0\nbrace_steps = 16\ndraw_steps = 16\n");
  REQUIRE(few.complete);
  REQUIRE(many.complete);
  // Its everted limbs would hold their string at equilibrium too, and weigh hundreds of pounds.
  CheckTable table("Short bow of horn, hickory and sinew", "the same bow in four times the steps");
  table.relative("draw weight [N]", few.draw_weight, many.draw_weight, 5e-3);
  table.relative("brace tension [N]", few.brace_tension, many.brace_tension, 5e-3);
  table.relative("energy stored [J]", few.stored_energy, many.stored_energy, 5e-3);
  table.at_most("draw weight [N]", few.draw_weight, 100.);
}

TEST_CASE("A limb that folds at a knot says so, with the place and at the same draw in few steps as in many", "[verification]")
{
  CheckTable table("Spruce stave that folds at a filled knot next to its handle", "the same stave in more steps");
  double draw = 0.;
  for (const int steps : {4, 8})
  {
    std::string low_brace = knotty_stave;
    low_brace.replace(low_brace.find("\"6.5 in\""), 8, "\"4 in\"");
    const DrawResults results = drawn(low_brace + fmt::format("draw_steps = {0}\nbrace_steps = {0}\n", steps));
    CHECK_FALSE(results.complete);
    CHECK(results.failed_stage == "drawing");
    CHECK_THAT(results.reason, Catch::Matchers::Contains("the limb folds at the knot at 6.8 in"));
    if (draw > 0.)
      table.absolute("last draw before it folds [m]", results.draw_length, draw, 0.2 * 0.0254);
    draw = results.draw_length;
  }
  // Strung higher than that, it folds before it is braced, whatever a long step would jump over.
  for (const int steps : {1, 4, 16})
  {
    const DrawResults results = drawn(knotty_stave + fmt::format("brace_steps = {}\n", steps));
    CHECK_FALSE(results.complete);
    CHECK(results.failed_stage == "stringing");
    CHECK_THAT(results.reason, Catch::Matchers::Contains("the limb folds at the knot at 6.8 in"));
  }
}
