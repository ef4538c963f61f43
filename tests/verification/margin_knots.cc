#include "cases/report/flaw_words.h"
#include "cases/report/output_units.h"
#include "cases/report/words.h"
#include "cases/study/margin_map.h"
#include "cases/study/sizing.h"
#include "support/cases.h"
#include "support/check_table.h"

#include <fmt/format.h>

using namespace limbwright;
using namespace limbwright::checks;

namespace
{
constexpr double level = 0.8;

struct Place
{
  const char *bow, *lamination;
  double station; // [in]
};

Case example(const std::string &name)
{
  return read(std::filesystem::path(LIMBWRIGHT_EXAMPLES) / name / (name + ".toml"));
}

// A hole as large as the map allows.
Knot allowed_hole(const Case &bow, const Place &place)
{
  const MarginMap map = margin_map(bow, level, nullptr);
  for (const InchMargin &margin : map.inches)
    if (margin.lamination >= 0 && std::abs(margin.station - place.station * inch) < 1e-3 &&
        bow.bow.upper.laminations[static_cast<std::size_t>(margin.lamination)].name == place.lamination)
    {
      Knot knot;
      knot.lamination = static_cast<std::size_t>(margin.lamination);
      knot.station = margin.station;
      knot.diameter = margin.knot;
      knot.state = KnotState::hole;
      return knot;
    }
  FAIL("the map has no such place");
  return {};
}

// The worst index told to people, of the knot's lamination, near it, with it in the bow.
double index_near(Case bow, const Knot &knot)
{
  bow.bow.upper.weak.knots = {knot};
  bow.solve.draw_steps = 12;
  const DrawResults results = draw_quickly(bow, false, nullptr);
  INFO(results.failed_stage << ": " << results.reason);
  REQUIRE(results.complete);
  for (const HotSpot &spot : ranked_for_people(bow, results.snapshots.back().limbs.front().flaws.at(0).worst))
    if (spot.lamination == static_cast<int>(knot.lamination))
      return spot.index;
  return 0.;
}
} // namespace

TEST_CASE("What the margin map allows as a knot bounds the wood it takes away, not the grain around it", "[slow]")
{
  CheckTable table("A hole as large as the map allows, drawn as a weak zone; index near it, of the level .8",
                   "whole solutions with it");
  for (const Place &place : {Place{"ash-hickory-board", "back", 12.}, Place{"maple-glass-thin", "belly-side maple", 12.}})
  {
    const Case bow = example(place.bow);
    Knot knot = allowed_hole(bow, place);
    const std::string which = fmt::format("{}, {}, {:.2f} in", place.bow, place.lamination, knot.diameter / inch);
    knot.grain_flows = false;
    table.at_most(which + ", straight grain [1]", index_near(bow, knot), level);
    knot.grain_flows = true;
    const double flowing = index_near(bow, knot);
    // In a face that is stretched the grain that bends round it breaks first; how steep it gets does not hang on the size.
    if (std::string(place.lamination) == "back")
      table.at_least(which + ", grain that flows round it [1]", flowing, level);
    else
      table.at_most(which + ", grain that flows round it [1]", flowing, level);
  }
}
