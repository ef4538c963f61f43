#include "cases/study/margin_map.h"
#include "cases/report/output_units.h"
#include "cases/study/patch_lengths.h"
#include "support/cases.h"
#include "support/check_table.h"

#include <fmt/format.h>

using namespace limbwright;
using namespace limbwright::checks;

namespace
{
constexpr double level = 0.8;

Case example(const std::string &name)
{
  return read(std::filesystem::path(LIMBWRIGHT_EXAMPLES) / name / (name + ".toml"));
}

std::size_t lamination_called(const Case &bow, const std::string &name)
{
  const auto &list = bow.bow.upper.laminations;
  const auto found = std::find_if(list.begin(), list.end(), [&](const auto &one) { return one.name == name; });
  REQUIRE(found != list.end());
  return static_cast<std::size_t>(found - list.begin());
}

/// The map's entry of a lamination or of the glue on its back side at an inch.
InchMargin margin_at(const MarginMap &map, std::size_t lamination, bool glue, double station)
{
  for (const InchMargin &margin : map.inches)
    if ((glue ? margin.glue_line : margin.lamination) == static_cast<int>(lamination) &&
        std::abs(margin.station - station) < 1e-3)
      return margin;
  FAIL("the map has no such place");
  return {};
}

/// An index of a whole solution with the fault the map allows: never beyond the level, and not so far below it that the map would
/// be of no use.
void judge(const std::string &what, double index, double least_use)
{
  std::printf("  %-64s %8.3f of %.2f\n", what.c_str(), index, level);
  // Two per cent: a fault also hands a little of its load to what is beside it, and the faces' stresses are carried to the nodes.
  CHECK(index <= level * 1.02);
  CHECK(index >= least_use * level);
}
} // namespace

TEST_CASE("Run-out as large as the map allows keeps the index below its level", "[verification]")
{
  std::printf("\nThe run-out that the margin map allows, over two inches; reference: whole solutions with it\n");
  struct Place
  {
    const char *bow, *lamination;
    double station;
  };
  for (const Place &place : {Place{"maple-glass-thin", "back-side maple", 15.},
                             {"maple-glass-thin", "belly-side maple", 12.},
                             {"ash-hickory-board", "back", 12.},
                             {"ash-hickory-board", "belly", 20.},
                             {"hickory-heavy-flatbow", "stave", 15.}})
  {
    Case bow = example(place.bow);
    const std::size_t lamination = lamination_called(bow, place.lamination);
    const double station = place.station * inch;
    const double allowed = margin_at(margin_map(bow, level, nullptr), lamination, false, station).run_out;
    REQUIRE(std::isfinite(allowed));
    double worst = 0.;
    for (const double angle : {allowed, -allowed})
    {
      bow.bow.upper.laminations[lamination].run_out = {
          {station - 1.02 * inch, station - inch, station + inch, station + 1.02 * inch}, {0., angle, angle, 0.}};
      const MarginMap with = margin_map(bow, level, nullptr);
      REQUIRE(with.complete);
      worst = std::max(worst, margin_at(with, lamination, false, station).index);
    }
    judge(fmt::format("{}, {}, {:.0f} in: 1 in {:.1f}", place.bow, place.lamination, place.station, 1. / std::tan(allowed)),
          worst, 0.7);
  }
}

TEST_CASE("A hole as wide as the map allows keeps the index below its level", "[verification]")
{
  // In a limb of one piece a hole is a narrower limb over its length: half an inch here.
  std::printf(
      "\nThe hole that the margin map allows, as so much less width over half an inch; reference: whole solutions with it\n");
  for (const double inches : {10., 20.})
  {
    Case bow = example("hickory-heavy-flatbow");
    const double station = inches * inch;
    const double share = margin_at(margin_map(bow, level, nullptr), 0, false, station).hole_share;
    REQUIRE(std::isfinite(share));
    StationTable &width = bow.bow.upper.width;
    const StationTable sound = width;
    width = {};
    for (std::size_t i = 0; i < sound.station.size() && sound.station[i] < station; ++i)
    {
      width.station.push_back(sound.station[i]);
      width.value.push_back(sound.value[i]);
    }
    for (const auto &[off, left] : {std::pair{-0.30, 1.}, {-0.25, 1. - share}, {0.25, 1. - share}, {0.30, 1.}})
    {
      width.station.push_back(station + off * inch);
      width.value.push_back(left * sound.at(station + off * inch));
    }
    for (std::size_t i = 0; i < sound.station.size(); ++i)
      if (sound.station[i] > station)
      {
        width.station.push_back(sound.station[i]);
        width.value.push_back(sound.value[i]);
      }
    const MarginMap with = margin_map(bow, level, nullptr);
    REQUIRE(with.complete);
    judge(fmt::format("hickory-heavy-flatbow, {:.0f} in: {:.0f} % of the width", inches, 100. * share),
          margin_at(with, 0, false, station).index, 0.5);
  }
}

TEST_CASE("An open patch as long as the map allows keeps the index below its level", "[slow]")
{
  std::printf("\nThe open patch that the margin map allows; reference: whole solutions with it, energy release at its ends\n");
  struct Place
  {
    const char *lamination; // on the belly side of the line
    double station;
  };
  Case bow = example("maple-glass-thin");
  bow.solve.wood_yields = false; // a loose layer and yielding wood do not go together yet
  const MarginMap map = margin_map(bow, level, nullptr);
  for (const Place &place : {Place{"belly glass", 12.},
                             {"belly glass", 14.},
                             {"belly glass", 25.},
                             {"belly-side maple", 11.},
                             {"parallel maple", 19.},
                             {"parallel maple", 25.},
                             {"back-side maple", 25.}})
  {
    const std::size_t line = lamination_called(bow, place.lamination);
    const double middle = place.station * inch, allowed = margin_at(map, line, true, middle).patch;
    REQUIRE(std::isfinite(allowed));
    Case open = bow;
    GluePatch patch;
    patch.from = middle - 0.5 * allowed;
    patch.to = middle + 0.5 * allowed;
    patch.gap = usual_gap;
    open.bow.upper.glue[line].patches = {patch};
    const PatchLengths solved = solve_patch_lengths(open, {LimbName::upper, line, 0}, {allowed}, {}, nullptr);
    REQUIRE(solved.rows.size() == 1);
    INFO(solved.rows[0].reason);
    REQUIRE(solved.rows[0].complete);
    CHECK_FALSE(solved.rows[0].buckles);
    judge(fmt::format("glue on the back of {}, {:.0f} in: {:.2f} in", place.lamination, place.station, allowed / inch),
          solved.rows[0].index(),
          0.18); // a long one is given the hardest shear of its whole length, beside a lamination's end too
  }
}
