#include "solver/stages/draw_curve.h"

#include <catch2/catch.hpp>

#include <cmath>

using namespace limbwright;

TEST_CASE("A whole inch that is full draw comes once in the draw curve", "[quick]")
{
  constexpr double inch = 0.0254;
  const double full = (28. - 1.75) * inch, counted = std::nextafter(full, 0.); // the same inch, differently rounded
  const auto draws = draws_between(0.18, full, {8 * inch, 27 * inch - 1.75 * inch, counted});
  REQUIRE(draws.size() == 4);
  CHECK(draws.front() == 0.18);
  CHECK(draws.back() == full);
  CHECK(draws_between(8 * inch, full, {8 * inch * (1. + 1e-15), 9 * inch}).size() == 3);
}
