#include "good_case.h"

#include "cases/report/answer_parts.h"
#include "cases/report/split_words.h"
#include "cases/report/words.h"

using namespace limbwright;

TEST_CASE("What lies on a split is told as of the wood, and not of glue", "[quick]")
{
  const Case bow = read_sound(good_case + R"(
[[weak.split]]
lamination = "belly"
from = "16 in"
to = "19 in"
depth = "0.15 in"

[[weak.split]]
lamination = "back"
from = "20 in"
to = "22 in"
depth = "0.04 in"
comes_out = "back"
)");
  HotSpot spot;
  spot.glue_line = 0;
  spot.station = 16. * 0.0254;
  spot.mode = FailureMode::glue_peel;
  CHECK(layer_name(bow, spot) == "split in belly");
  CHECK(place_words(bow, spot, true) == "both limbs, 16.0 in from center, split in belly");
  CHECK(failure_words(bow, spot) == "wood pulling apart across the grain there");
  spot.glue_line = 3;
  CHECK(layer_name(bow, spot) == "split in back");
  CHECK(failure_words(bow, spot) == "splinter lifting");
  spot.glue_line = 1; // belly, over the split | power lam
  CHECK_FALSE(in_split(bow, spot));
  CHECK(failure_words(bow, spot) == mode_words(FailureMode::glue_peel));

  Event event;
  event.kind = Event::Kind::patch_could_grow;
  event.glue_line = 0;
  event.station = 16. * 0.0254;
  const std::string told = event_what(bow, {}, event, Units::trade);
  CHECK(told.find("the split has the energy to grow") == 0);
  CHECK(told.find("glue line") == std::string::npos);
  event.glue_line = 1; // the power lam has ended before 16 in
  CHECK(event_what(bow, {}, event, Units::trade).find("glue line belly, over the split | back, under the split") !=
        std::string::npos);
  event.station = 12. * 0.0254;
  CHECK(event_what(bow, {}, event, Units::trade).find("glue line belly, over the split | power lam") != std::string::npos);
}
