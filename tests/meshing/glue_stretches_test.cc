#include "meshing/shape/glue_stretches.h"

#include "sample_limbs.h"

#include <catch2/catch.hpp>

using namespace limbwright;
using namespace limbwright::sample;

TEST_CASE("What touches what is listed stretch by stretch, past the ends of laminations", "[quick]")
{
  // From 8 in on: belly glass, maple, power lamination to about 14.5 in, tip wedge from about 24 in, maple, maple, back glass.
  const LimbShape shape(glass_longbow());
  const double root = shape.description().root_station, tip = shape.description().tip_station;
  const auto stretches = glue_stretches(shape);
  const auto is = [&](std::size_t i, std::size_t line, std::size_t back, double from, double to)
  {
    CAPTURE(i);
    CHECK(stretches[i].line == line);
    CHECK(stretches[i].back == back);
    CHECK(stretches[i].from == from);
    CHECK(stretches[i].to == to);
  };
  REQUIRE(stretches.size() == 8);
  is(0, 0, 1, root, tip);
  is(1, 1, 2, root, shape.end(2));
  is(2, 1, 4, shape.end(2), shape.start(3)); // between the two the maples touch
  is(3, 1, 3, shape.start(3), tip);
  is(4, 2, 4, root, shape.end(2));
  is(5, 3, 4, shape.start(3), tip);
  is(6, 4, 5, root, tip);
  is(7, 5, 6, root, tip);

  CHECK(stretch_at(stretches, 1, 20. * inch)->back == 4);
  CHECK(stretch_at(stretches, 1, shape.end(2))->back == 4);
  CHECK(stretch_at(stretches, 2, 20. * inch) == nullptr);
  CHECK(runs_through(stretches, 1, 10. * inch, 28. * inch));
  CHECK(runs_through(stretches, 2, root, shape.end(2)));
  CHECK_FALSE(runs_through(stretches, 2, 10. * inch, 15. * inch));
  CHECK_FALSE(runs_through(stretches, 3, 20. * inch, 26. * inch));
}
