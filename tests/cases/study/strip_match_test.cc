#include "coarse_ash.h"

#include "cases/reader/case_reader.h"
#include "cases/report/output_units.h"
#include "cases/study/strip_flex.h"
#include "cases/study/strip_match.h"
#include "cases/study/unlike_limbs.h"

#include <catch2/catch.hpp>
#include <fmt/format.h>

#include <algorithm>

using namespace limbwright;

namespace
{
/// A belly strip whose thickness is off by so many thousandths, and which sags so far.
std::string strip(const std::string &name, double off, double deflection)
{
  const Case bow = *read_case_text(coarse_ash(), "ash.toml").read;
  const StationTable &table = bow.bow.upper.laminations.front().thickness;
  std::string rows;
  for (std::size_t i = 0; i < table.station.size(); ++i)
    rows += fmt::format("[{:.6f}, {:.6f}],", table.station[i] / inch, table.value[i] / inch + 0.001 * off);
  return fmt::format("\n[[measured.strip]]\nname = \"{}\"\nlamination = \"belly\"\n"
                     "thickness = {{s = \"in\", thickness = \"in\", rows = [{}]}}\nwidth = \"1.75 in\"\nspan = \"24 in\"\n"
                     "load = \"5 lbf\"\ndeflection = \"{:.6f} in\"\ndensity = \"650 kg/m3\"\n",
                     name, rows, deflection);
}

Case read(const std::string &text)
{
  const ReadOutcome outcome = read_case_text(text, "ash.toml");
  for (const Diagnostic &error : outcome.errors)
    UNSCOPED_INFO(format(error));
  REQUIRE(outcome.read);
  return *outcome.read;
}

std::string all_errors(const std::string &text)
{
  std::string all;
  for (const Diagnostic &error : read_case_text(text, "ash.toml").errors)
    all += format(error) + "\n";
  return all;
}
} // namespace

TEST_CASE("Measured weights and strips are read, and written with the resolved case", "[quick]")
{
  const std::string text = coarse_ash() + strip("A", 2., 0.5) + "\n[[measured.weight]]\ndraw = \"26 in\"\nweight = \"41 lbf\"\n";
  const Case bow = read(text);
  REQUIRE(bow.measured.strips.size() == 1);
  CHECK(bow.measured.strips[0].load == Approx(5. * pound_force));
  CHECK(bow.measured.strips[0].accuracy == Approx(5. * thou));
  CHECK(bow.measured.strips[0].middle ==
        Approx(0.5 * (bow.bow.upper.root_station + bow.bow.upper.tip_station))); // it runs the whole limb
  REQUIRE(bow.measured.weights.size() == 1);
  CHECK(bow.measured.weights[0].draw == Approx(26. * inch - 1.75 * inch));
  CHECK(bow.measured.weights[0].accuracy == Approx(0.25 * pound_force));
  const Case again = read(bow.resolved);
  CHECK(again.measured.strips.size() == 1);
  CHECK(again.measured.weights.size() == 1);
  CHECK(again.measured.strips.front().deflection == bow.measured.strips.front().deflection);
  CHECK(again.measured.strips.front().thickness.value == bow.measured.strips.front().thickness.value);
}

TEST_CASE("What cannot be right of measurements is told", "[quick]")
{
  const auto wrong = [](const std::string &from, const std::string &to)
  {
    std::string text = strip("A", 0., 0.5);
    text.replace(text.find(from), from.size(), to);
    return all_errors(coarse_ash() + text);
  };
  CHECK(wrong("lamination = \"belly\"", "lamination = \"bely\"").find("\"belly\"") != std::string::npos);
  CHECK(wrong("load = \"5 lbf\"\n", "").find("missing: load") != std::string::npos);
  CHECK(wrong("span =", "spann =").find("did you mean") != std::string::npos);
  CHECK(all_errors(coarse_ash() + strip("A", 0., 0.5) + strip("A", 1., 0.5)).find("listed before") != std::string::npos);
  CHECK(all_errors(coarse_ash() + "\n[[measured.weight]]\ndraw = \"5 in\"\nweight = \"41 lbf\"\n").find("brace height") !=
        std::string::npos);
  CHECK_FALSE(read_case_text(coarse_ash() + strip("A", 0., 3.), "ash.toml").warnings.empty());
}

TEST_CASE("A strip's modulus comes back from how far it sags", "[quick]")
{
  LaminationDescription lamination;
  lamination.thickness = StationTable::constant(2e-3);
  Material material;
  material.constants = {12e9, 1e9, 1e9, 0.9e9, 0.8e9, 0.1e9, 0.3, 0.3, 0.3};
  MeasuredStrip strip;
  strip.width = 40e-3;
  strip.span = 0.5;
  strip.middle = 0.4;
  strip.load = 5.;
  // Closed form: P L3/48EI + P L/4kGA, k = 5/6.
  const double bending = 5. * 0.125 / (48. * 12e9 * 40e-3 * 8e-9 / 12.), shear = 5. * 0.5 / (4. * 5. / 6. * 0.9e9 * 80e-6);
  strip.deflection = strip_deflection(strip, lamination, material);
  CHECK(strip.deflection == Approx(bending + shear).epsilon(1e-5));
  CHECK(strip_modulus(strip, lamination, material) == Approx(12e9));
  strip.deflection *= 1.25;
  CHECK(strip_modulus(strip, lamination, material) == Approx(12e9 / 1.25));
}

TEST_CASE("Strips that are alike are paired, and the core is corrected to the weight", "[quick]")
{
  // A and C, and B and D, belong together; of them B and D make more weight, which can be ground off.
  const Case bow =
      read(coarse_ash() + strip("A", -6., 0.60) + strip("B", 6., 0.50) + strip("C", -6., 0.602) + strip("D", 6.5, 0.498));
  const StripMatch match = match_strips(bow, not_known, {}, nullptr);
  INFO(match.reason);
  REQUIRE(match.complete);
  REQUIRE(match.pairs.size() == 1);
  const auto &strips = bow.measured.strips;
  const std::string upper = strips[match.pairs[0].strip[0]].name, lower = strips[match.pairs[0].strip[1]].name;
  INFO(upper << " above, " << lower << " below");
  CHECK(((upper == "A" && lower == "C") || (upper == "C" && lower == "A") || (upper == "B" && lower == "D") ||
         (upper == "D" && lower == "B")));
  CHECK(match.reached);
  CHECK(std::abs(match.weight - match.nominal_weight) <= weight_tolerance);
  CHECK(match.solutions <= 5);
  // The bow as written is the one that was solved.
  const Case built = read(text_with_limbs_of(bow, match.built, "a test"));
  REQUIRE(built.bow.lower);
  CHECK(draw_quickly(built, false, nullptr).draw_weight == Approx(match.weight).epsilon(1e-4));
  const StripMatch one = match_strips(read(coarse_ash() + strip("A", 0., 0.5)), not_known, {}, nullptr);
  CHECK_FALSE(one.complete);
  CHECK(one.reason.find("only one strip") != std::string::npos);
}
