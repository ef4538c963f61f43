#include "good_case.h"

#include "meshing/shape/limb_shape.h"

#include <algorithm>

using namespace limbwright;
using Catch::Contains;

namespace
{
// The power lam of the good case tapers to nothing at 14 in; past that the belly touches the back.
std::string patched(const char *between, const char *from, const char *to)
{
  return good_case + "\n[[glue.patch]]\nbetween = " + between + "\nfrom = \"" + from + "\"\nto = \"" + to + "\"\n";
}

std::string complaint(const std::string &text)
{
  const ReadOutcome outcome = read_case_text(text, "folder/trial.toml");
  CHECK_FALSE(outcome.read);
  REQUIRE(outcome.errors.size() == 1);
  return format(outcome.errors.front());
}

constexpr double inch = 0.0254;
} // namespace

TEST_CASE("A patch lies where two laminations touch because the one between them has ended", "[quick]")
{
  const Case bow = read_sound(patched("[\"back\", \"belly\"]", "20 in", "21 in"));
  REQUIRE(bow.bow.upper.glue[0].patches.size() == 1); // the belly-side line, which goes on
  CHECK(bow.bow.upper.glue[0].patches[0].from == Approx(20. * inch));
  CHECK(bow.bow.upper.glue[1].patches.empty());
  const Case again = read_sound(bow.resolved);
  CHECK(again.bow.upper.glue[0].patches.size() == 1);
}

TEST_CASE("A patch between laminations of which one has ended there is refused with what touches instead", "[quick]")
{
  const std::string text = patched("[\"power lam\", \"back\"]", "20 in", "21 in");
  const auto line = 1 + std::count(text.begin(), text.begin() + static_cast<std::ptrdiff_t>(text.rfind("between")), '\n');
  // It is cut where .06 in has fallen to its feather of .005 in over 10 in: 4 + 10 (1 - .005/.06) = 13.17 in.
  CHECK_THAT(complaint(text), Contains("folder/trial.toml:" + std::to_string(line) + ":11: glue.patch[1].between: ") &&
                                  Contains("\"power lam\" ends at 13.17 in, where it is as thin as its feather") &&
                                  Contains("do not touch from 20 in to 21 in") &&
                                  Contains("there \"belly\" touches \"back\": write between = [\"belly\", \"back\"]"));
  CHECK_THAT(complaint(patched("[\"belly\", \"power lam\"]", "13 in", "15 in")),
             Contains("do not touch from 13.17 in to 15 in") && Contains("write a separate patch for each stretch"));
  CHECK_THAT(complaint(patched("[\"belly\", \"back\"]", "8 in", "9 in")),
             Contains("\"power lam\" lies between \"belly\" and \"back\"") && Contains("there \"belly\" touches \"power lam\""));
  CHECK_THAT(complaint(patched("[\"belly\", \"belly\"]", "8 in", "9 in")), Contains("names \"belly\" twice"));
  const std::string outermost = with(good_case, "butt = \"0.12 in\"", "end = \"24 in\"\nbutt = \"0.12 in\"");
  CHECK_THAT(complaint(outermost + "\n[[glue.patch]]\nbetween = [\"belly\", \"back\"]\nfrom = \"26 in\"\nto = \"27 in\"\n"),
             Contains("\"back\" ends at 24 in") && Contains("one of them has nothing to touch there"));
}

TEST_CASE("Patches on both sides of a lamination's stated end meet where it is cut", "[quick]")
{
  const Case bow = read_sound(patched("[\"belly\", \"power lam\"]", "12 in", "14 in") +
                              "\n[[glue.patch]]\nbetween = [\"belly\", \"back\"]\nfrom = \"14 in\"\nto = \"16 in\"\n");
  const auto &patches = bow.bow.upper.glue[0].patches;
  REQUIRE(patches.size() == 2);
  CHECK(patches[0].to == patches[1].from);
  CHECK(patches[0].to == Approx(LimbShape(bow.bow.upper).end(1)));
}

TEST_CASE("The glue of two laminations that come to touch is that of the belly-side line", "[quick]")
{
  CHECK_THAT(complaint(with(good_case, "between = [\"power lam\", \"back\"]", "between = [\"belly\", \"back\"]")),
             Contains("glue.line[1].between: ") && Contains("that between \"belly\" and \"power lam\", which continues"));
}
