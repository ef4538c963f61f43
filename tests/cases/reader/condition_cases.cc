// [conditions]: defaults, "none", and what they make of the bow.

#include "reader/good_case.h"

#include "cases/reader/case_reader.h"
#include "cases/report/conditions_words.h"

#include <catch2/catch.hpp>

#include <cmath>

using namespace limbwright;
using Catch::Contains;

namespace
{
const std::string all_none = "\n[conditions]\nmoisture = \"none\"\ntemperature = \"none\"\nfull_draw_held = \"none\"\n"
                             "quality = \"none\"\nsize_effect = \"none\"\n";
} // namespace

TEST_CASE("conditions have defaults, and are written into the resolved case", "[quick]")
{
  const Case plain = read_sound(good_case);
  REQUIRE(plain.conditions.moisture);
  CHECK(*plain.conditions.moisture == Approx(.09));
  CHECK_FALSE(plain.conditions.temperature);
  REQUIRE(plain.conditions.seconds);
  CHECK(*plain.conditions.seconds == 2.);
  CHECK_FALSE(plain.conditions.quality);
  CHECK(plain.conditions.size);
  CHECK_THAT(plain.resolved, Contains("[conditions]\nmoisture = \"9 %\" # default"));

  // The resolved case holds the materials as they were, so that running it again does not adjust twice.
  const Case again = read_sound(plain.resolved);
  CHECK(again.bow.materials.at("white-ash").strengths.compression_L ==
        Approx(plain.bow.materials.at("white-ash").strengths.compression_L));
  CHECK(bow_in_use(again).bow.materials.at("white-ash").strengths.compression_L ==
        Approx(bow_in_use(plain).bow.materials.at("white-ash").strengths.compression_L));
}

TEST_CASE("conditions are taken in the shop's units", "[quick]")
{
  const Conditions read =
      read_sound(good_case + "\n[conditions]\nmoisture = \"7 %\"\ntemperature = \"95 degF\"\nfull_draw_held = \"1 min\"\n"
                             "quality = \"5 %\"\n")
          .conditions;
  CHECK(*read.moisture == Approx(.07));
  CHECK(*read.temperature == Approx(308.15));
  CHECK(*read.seconds == Approx(60.));
  CHECK(*read.quality == Approx(.05));
  for (const char *bad : {"moisture = \"80 %\"", "temperature = \"90 degC\"", "full_draw_held = \"2 in\"", "quality = \"poor\"",
                          "size_effect = \"off\"", "humidity = \"40 %\""})
  {
    INFO(bad);
    CHECK_FALSE(read_case_text(good_case + "\n[conditions]\n" + bad + "\n", "trial.toml").errors.empty());
  }
}

TEST_CASE("the bow in use: dry ash crushes later; with every condition none nothing moves", "[quick]")
{
  const Case plain = read_sound(good_case);
  const BowInUse used = bow_in_use(plain);
  const Material &given = plain.bow.materials.at("white-ash"), &dry = used.bow.materials.at("white-ash");
  // Wood Handbook eq. 5-3 with M_p 24 %, and 8 % a decade for 2 s against 300 s.
  CHECK(dry.strengths.compression_L / given.strengths.compression_L ==
        Approx(std::pow(51.09 / 27.51, .25) * (1. + .08 * std::log10(150.))).epsilon(1e-3));
  CHECK(dry.constants.E_L / given.constants.E_L == Approx(std::pow(12. / 9.928, .25)).epsilon(1e-3));
  CHECK_THAT(conditions_words(plain), Contains("9 % moisture") && Contains("white-ash: stiffness x 1.05"));

  const Case still = read_sound(good_case + all_none);
  const BowInUse same = bow_in_use(still);
  CHECK(same.adjustments.empty());
  CHECK(same.bow.materials.at("white-ash").strengths.compression_L == given.strengths.compression_L);
  CHECK(conditions_words(still).empty());
}
