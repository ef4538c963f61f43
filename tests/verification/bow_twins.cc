#include "cases/report/words.h"
#include "support/cases.h"
#include "support/check_table.h"
#include "support/work_of_force.h"

#include <algorithm>

using namespace limbwright;
using namespace limbwright::checks;

TEST_CASE("The twins meet an independent beam calculation", "[slow]")
{
  // Each twin carries the numbers of a two-limb elastica on the neutral axis without shear, in [[expect]], with its tolerance.
  const auto files = case_files(std::filesystem::path(LIMBWRIGHT_TEST_DATA) / ".." / "cases" / "twins");
  REQUIRE(files.size() >= 7);
  for (const auto &file : files)
  {
    const Case bow = read(file);
    REQUIRE_FALSE(bow.expectations.empty());
    const auto found = quantities(bow, run_to_the_end(bow));
    CheckTable table(bow.title, "independent elastic beam calculation, as stated in the case");
    for (const Expectation &expected : bow.expectations)
    {
      INFO(file << ": " << expected.quantity);
      REQUIRE(found.count(expected.quantity) == 1);
      REQUIRE(expected.tolerance <= 0.0301 * std::abs(expected.value));
      table.relative(expected.quantity, found.at(expected.quantity), expected.value,
                     expected.tolerance / std::abs(expected.value));
    }
  }
}

TEST_CASE("Every example is strung and drawn to the end", "[slow]")
{
  const auto files = case_files(LIMBWRIGHT_EXAMPLES);
  REQUIRE(files.size() >= 6);
  for (const auto &file : files)
  {
    const Case example = read(file);
    const auto &glue = example.bow.upper.glue;
    if (std::any_of(glue.begin(), glue.end(), [](const auto &line) { return line.cohesive; }))
      continue; // its question is whether it comes to the end
    const DrawResults results = run_to_the_end(example);
    CheckTable table(example.title, "none: what comes out; energies against each other");
    table.note("draw weight [N]", results.draw_weight);
    table.note("brace tension [N]", results.brace_tension);
    table.note("stored energy [J]", results.stored_energy);
    table.at_least("draw weight [N]", results.draw_weight, 100.);
    table.at_most("draw weight [N]", results.draw_weight, 500.);
    // Work over draw: between that of a straight line from nothing and a full rectangle.
    const double way = results.draw_length - results.brace_height;
    table.at_least("energy / (force * way) [1]", results.stored_energy / (results.draw_weight * way), 0.4);
    table.at_most("energy / (force * way) [1]", results.stored_energy / (results.draw_weight * way), 0.8);
    REQUIRE(results.snapshots.size() >= 3);
    const DrawPoint &braced = results.snapshots[1].point, &full = results.snapshots.back().point;
    const double growth = full.strain_energy + full.dissipated - braced.strain_energy - braced.dissipated;
    // Four steps, in which wood begins to yield here and there: the curve between them is less smooth than an elastic bow's.
    table.relative("growth of strain energy and crushing [J]", growth, work_of_force(results.draw_curve), 2e-3);
    REQUIRE(results.worst.size() >= 3);
    for (std::size_t i = 0; i < 3; ++i)
    {
      const HotSpot &spot = results.worst[i];
      const std::string place = spot.glue_line >= 0 ? "glue line " + std::to_string(spot.glue_line + 1)
                                                    : "lamination " + std::to_string(spot.lamination + 1);
      table.note(mode_words(spot.mode) + ", " + place + ", station " + std::to_string(spot.station).substr(0, 5) +
                     " m, index [1]",
                 spot.index);
      CHECK(std::isfinite(spot.index));
      CHECK(spot.index > 0.);
    }
    CHECK(std::is_sorted(results.worst.begin(), results.worst.end(),
                         [](const HotSpot &a, const HotSpot &b) { return a.index > b.index; }));
  }
}
