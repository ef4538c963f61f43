#include "cases/report/flaw_words.h"
#include "cases/report/output_units.h"
#include "cases/report/verdict.h"
#include "cases/report/words.h"
#include "cases/study/margin_map.h"
#include "cases/study/sizing.h"
#include "support/cases.h"
#include "support/check_table.h"

#include <fmt/format.h>

#include <map>

using namespace limbwright;
using namespace limbwright::checks;

namespace
{
// Two per cent, as for the other bounds (margin_map.cc).
constexpr double slack = 1.02;

struct Place
{
  const char *bow, *lamination;
  double level;   // [1]
  double station; // [in]
};

const Case &example(const std::string &name)
{
  static std::map<std::string, Case> bows;
  const auto [found, is_new] = bows.try_emplace(name);
  if (is_new)
    found->second = read(std::filesystem::path(LIMBWRIGHT_EXAMPLES) / name / (name + ".toml"));
  return found->second;
}

InchMargin margin_at(const Place &place)
{
  static std::map<std::pair<std::string, double>, MarginMap> maps;
  const auto [map, is_new] = maps.try_emplace({place.bow, place.level});
  if (is_new)
    map->second = margin_map(example(place.bow), place.level, nullptr);
  for (const InchMargin &margin : map->second.inches)
    if (margin.lamination >= 0 && std::abs(margin.station - place.station * inch) < 1e-3 &&
        example(place.bow).bow.upper.laminations[static_cast<std::size_t>(margin.lamination)].name == place.lamination)
      return margin;
  FAIL("the map has no such place");
  return {};
}

// The worst index told to people, at the lamination's faces, near a hole of that size [m] in the bow: the map is of the faces.
double index_near(const Place &place, const InchMargin &margin, double diameter, bool grain_flows)
{
  Knot knot;
  knot.lamination = static_cast<std::size_t>(margin.lamination);
  knot.station = margin.station;
  knot.diameter = diameter;
  knot.state = KnotState::hole;
  knot.grain_flows = grain_flows;
  Case bow = example(place.bow);
  bow.bow.upper.weak.knots = {knot};
  bow.solve.draw_steps = 12;
  const DrawResults results = draw_quickly(bow, false, nullptr);
  INFO(results.failed_stage << ": " << results.reason);
  REQUIRE(results.complete);
  for (const HotSpot &spot : ranked_for_people(bow, results.snapshots.back().limbs.front().flaws.at(0).worst))
    if (spot.lamination == margin.lamination && spot.face != Face::inside)
      return spot.index;
  return 0.;
}
} // namespace

TEST_CASE("A knot as large as the margin map allows keeps the index below its level, with the grain around it", "[slow]")
{
  CheckTable table("A hole as large as the map allows, drawn as a weak zone: index near it", "whole solutions with it");
  for (const Place &place : {Place{"ash-hickory-board", "back", 0.8, 12.},
                             {"ash-hickory-board", "back", 0.8, 32.},
                             {"ash-hickory-board", "back", 1.2, 12.},
                             {"ash-hickory-board", "belly", 0.8, 12.},
                             {"ash-hickory-board", "belly", 0.8, 28.},
                             {"ash-hickory-board", "belly", 0.8, 32.},
                             {"hickory-heavy-flatbow", "stave", 0.8, 20.},
                             {"hickory-heavy-flatbow", "stave", 0.8, 35.},
                             {"maple-glass-thin", "belly-side maple", 0.8, 12.},
                             {"maple-glass-thin", "back-side maple", 0.8, 16.}})
  {
    const InchMargin margin = margin_at(place);
    const auto told = [&](const char *what, double size)
    { return fmt::format("{}, {}, {:.0f} in: {} {:.2f} in", place.bow, place.lamination, place.station, what, size / inch); };
    const bool stretched = std::string(place.lamination) != "belly";
    if (margin.knot > 0.05 * inch)
      table.at_most(told("knot", margin.knot), index_near(place, margin, margin.knot, true), slack * place.level);
    else if (stretched) // not for nothing: a small one is too much
      table.at_least(told("no knot, one of", 0.1 * inch), index_near(place, margin, 0.1 * inch, true), place.level);
    if (margin.hole > 0.05 * inch)
      table.at_most(told("hole", margin.hole), index_near(place, margin, margin.hole, false), slack * place.level);
  }
}
