#include "report/made_up_bow.h"

#include "cases/report/derived_bow.h"
#include "cases/report/text_layout.h"

#include <catch2/catch.hpp>

using namespace limbwright;
using Catch::Contains;

TEST_CASE("The bench tables give cut list, stack and form by the inch", "[quick]")
{
  const auto text = derived_bow(made_up::bow());
  CHECK_THAT(text, Contains("nock to nock along the back   63.00 in (1600.2 mm)"));
  CHECK_THAT(text, Contains("full draw                     28.00 in"));
  // 8 mm to 5 mm over 24 in: 3 mm / 24 in = 4.92 thou per inch
  CHECK_THAT(text, Contains("core                core-wood               0.315     0.197        4.92       24.00"));
  CHECK_THAT(text, Contains("ends 19.") && Contains("feathered to 0.005 in"));
  // At the root 12 mm of pieces and three glue lines; two millimetres of it are glass.
  CHECK_THAT(text, Contains("     8.00    1.378 |      0.484      0.472 |      0.406      0.394 |      12.30"));
  // A straight limb has no offset.
  CHECK_THAT(text, Contains("    32.00     32.000      0.000       812.8         0.0        0.00"));
  CHECK_THAT(text, Contains("weighs"));
}

TEST_CASE("Corners that are left are named with their stations", "[quick]")
{
  auto made = made_up::bow();
  CHECK_THAT(derived_bow(made), !Contains("Corners"));
  constexpr double in = 0.0254;
  StationTable &core = made.bow.upper.laminations[1].thickness;
  core = {{8. * in, 14.5 * in, 32. * in}, {10e-3, 8e-3, 5e-3}};
  CHECK_THAT(unwrapped(derived_bow(made)), Contains("Corners") && Contains("from center: 14.50."));
  core.smooth = true;
  CHECK_THAT(derived_bow(made), !Contains("Corners"));
}

TEST_CASE("Limbs that differ are both told", "[quick]")
{
  auto made = made_up::bow();
  CHECK_THAT(derived_bow(made), Contains("Both limbs") && !Contains("Lower limb"));
  made.bow.lower = made.bow.upper;
  CHECK_THAT(derived_bow(made), Contains("Upper limb") && Contains("Lower limb"));
}

TEST_CASE("A missing density is said, not guessed", "[quick]")
{
  auto made = made_up::bow();
  made.bow.materials.at("core-wood").density = unknown_property;
  CHECK_THAT(derived_bow(made), Contains("weight not known"));
}
