#include "cases/reader/case_reader.h"
#include "cases/reader/embedded_files.h"
#include "cases/study/variation.h"

#include <catch2/catch.hpp>

#include <algorithm>

using namespace limbwright;

namespace
{
VariedKey parsed(const std::string &text)
{
  std::string error;
  VariedKey key = parse_varied_key(text, error);
  INFO(error);
  REQUIRE(error.empty());
  return key;
}

std::string example(const std::string &name)
{
  const auto &all = embedded_examples();
  return std::find_if(all.begin(), all.end(), [&](const auto &one) { return one.name == name; })->text;
}
} // namespace

TEST_CASE("Lists and ranges of values are read", "[quick]")
{
  using Values = std::vector<std::string>;
  CHECK(parsed("belly.material = white-ash, black-locust").values == Values{"white-ash", "black-locust"});
  CHECK(parsed("a.b=1/2 in").values == Values{"1/2 in"});
  CHECK(parsed("bow.brace_height = 6 in to 7 in by 0.5 in").values == Values{"6 in", "6.5 in", "7 in"});
  CHECK(parsed("limb.width.rows[3][2] = 0.4 to 0.6 by 0.1").values == Values{"0.4", "0.5", "0.6"});
  CHECK(parsed("w = [[1, 2], [3, 4]], {a = 1, b = 2}").values == Values{"[[1, 2], [3, 4]]", "{a = 1, b = 2}"});
  for (const char *wrong :
       {"bow.brace_height", "= 3", "a = ", "a = 1 in to 3 mm by 1 mm", "a = 3 in to 1 in by 1 in", "a = 1 in to 3 in by 0 in"})
  {
    std::string error;
    parse_varied_key(wrong, error);
    INFO(wrong);
    CHECK_FALSE(error.empty());
  }
}

TEST_CASE("Keys are combined, the last the fastest", "[quick]")
{
  const auto all = combinations({{"a", {"1", "2"}}, {"b", {"x", "y", "z"}}});
  REQUIRE(all.size() == 6);
  CHECK(all[1] == std::vector<std::string>{"1", "y"});
  CHECK(all[5] == std::vector<std::string>{"2", "z"});
}

TEST_CASE("Bows are set side by side at equal weight", "[quick]")
{
  const Variation variation{{parsed("mesh.column_length = 0.5 in"), parsed("solve.cycles = 0"),
                             parsed("back.thickness.rows[1][2] + back.thickness.rows[2][2] = 0.08 in, 0.12 in"),
                             parsed("belly.material = white-ash, no-such-wood")},
                            "core",
                            45. * 4.4482216};
  std::vector<VariedBow> bows;
  for (const auto &values : combinations(variation.keys))
    bows.push_back(vary_one(example("ash-hickory-board"), "ash.toml", variation, values, nullptr));
  REQUIRE(bows.size() == 4);
  for (const std::size_t i : {0U, 2U})
  {
    INFO(bows[i].failure);
    REQUIRE(bows[i].failure.empty());
    CHECK(std::abs(bows[i].figures.weight - variation.weight) <= weight_tolerance);
    CHECK(bows[i].figures.energy > 30.);
    CHECK(bows[i].figures.mass > 2. * bows[i].figures.outer_mass);
  }
  CHECK(bows[0].amount > bows[2].amount); // the thinner back wants a thicker belly
  CHECK(bows[1].failure.find("no-such-wood") != std::string::npos);
  const std::string table = csv(variation_table(variation, bows));
  CHECK(table.find("draw_weight_lb") != std::string::npos);
  CHECK(std::count(table.begin(), table.end(), '\n') == 5);
}

TEST_CASE("The page of a variation carries what was found, and why some was not", "[quick]")
{
  const ReadOutcome outcome = read_case_text(example("ash-hickory-board"), "ash.toml");
  REQUIRE(outcome.read);
  const Variation variation{{parsed("limb.nock.depth = belly, back")}, "", 0.};
  std::vector<VariedBow> bows(2);
  bows[0].values = {"belly"};
  bows[0].figures.weight = 200.;
  bows[1].values = {"back"};
  bows[1].failure = "string: it broke";
  const StudyTable table = variation_page(*outcome.read, variation, bows);
  CHECK(table.rows == std::vector<std::string>{"belly", "back"});
  CHECK(table.failures[1] == "string: it broke");
  for (const StudyTable::Column &column : table.columns)
    CHECK(column.values.size() == 2);
  const std::string data = study_data(table);
  CHECK(data.find("\"values\":[200.0,null]") != std::string::npos);
  CHECK(data.find("limb.nock.depth") != std::string::npos);
}
