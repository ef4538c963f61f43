#include "coarse_ash.h"

#include "cases/reader/case_reader.h"
#include "cases/report/output_units.h"
#include "cases/study/modulus_fit.h"
#include "cases/study/sizing.h"
#include "cases/study/strip_flex.h"

#include <catch2/catch.hpp>
#include <fmt/format.h>

#include <algorithm>

using namespace limbwright;

namespace
{
Case read(const std::string &text)
{
  const ReadOutcome outcome = read_case_text(text, "ash.toml");
  for (const Diagnostic &error : outcome.errors)
    UNSCOPED_INFO(format(error));
  REQUIRE(outcome.read);
  return *outcome.read;
}

const FittedModulus &modulus(const ModulusFit &fit, const std::string &name)
{
  const auto found = std::find_if(fit.moduli.begin(), fit.moduli.end(), [&](const auto &one) { return one.material == name; });
  REQUIRE(found != fit.moduli.end());
  return *found;
}

/// A bow stiffer by these factors than the case, drawn to a length told as the case tells it. [N]
double weight_of(Case bow, double ash, double hickory, double draw)
{
  stiffen(bow.bow.materials.at(bow.bow.upper.laminations[0].material), ash);
  stiffen(bow.bow.materials.at(bow.bow.upper.laminations[1].material), hickory);
  bow.bow.full_draw = draw - convention_offset(bow);
  return draw_quickly(bow, false, nullptr).draw_weight;
}

std::string weight_table(double draw, double weight, double accuracy)
{
  return fmt::format("\n[[measured.weight]]\ndraw = \"{:.6f} in\"\nweight = \"{:.6f} lbf\"\naccuracy = \"{:.3f} lbf\"\n",
                     draw / inch, weight / pound_force, accuracy / pound_force);
}

/// A flexed strip of a lamination, its modulus times a factor, its reading off.
std::string strip_table(const Case &bow, std::size_t lamination, double factor, double off)
{
  const LaminationDescription &piece = bow.bow.upper.laminations[lamination];
  MeasuredStrip strip;
  strip.width = 1.75 * inch;
  strip.span = 20. * inch;
  strip.middle = 18. * inch;
  strip.load = 2. * pound_force;
  Material material = bow_in_use(bow).bow.materials.at(piece.material);
  stiffen(material, factor);
  return fmt::format("\n[[measured.strip]]\nname = \"strip {0}\"\nlamination = \"{1}\"\nwidth = \"1.75 in\"\nspan = \"20 in\"\n"
                     "middle = \"18 in\"\nload = \"2 lbf\"\ndeflection = \"{2:.6f} in\"\naccuracy = \"0.002 in\"\n",
                     lamination, piece.name, (strip_deflection(strip, piece, material) + off) / inch);
}
} // namespace

TEST_CASE("Moduli come back from measurements that are off by a stated noise", "[quick]")
{
  // Ash 8 % stiffer and hickory 5 % softer than the table. Noise: one standard deviation up and one down of 0.25 lb at two draws,
  // half of one of 0.002 in on either strip.
  const std::string text = coarse_ash();
  const Case bow = read(text);
  constexpr double ash = 1.08, hickory = 0.95, noise = 0.25 * pound_force;
  const Case measured = read(text + weight_table(28. * inch, weight_of(bow, ash, hickory, 28. * inch) + noise, noise) +
                             weight_table(24. * inch, weight_of(bow, ash, hickory, 24. * inch) - noise, noise) +
                             strip_table(bow, 0, ash, 0.001 * inch) + strip_table(bow, 1, hickory, -0.001 * inch));
  const ModulusFit fit = fit_moduli(measured, {}, {}, nullptr);
  INFO(fit.reason);
  REQUIRE(fit.complete);
  for (const auto &[material, factor] :
       {std::pair{bow.bow.upper.laminations[0].material, ash}, {bow.bow.upper.laminations[1].material, hickory}})
  {
    const FittedModulus &found = modulus(fit, material);
    INFO(material << ": " << found.factor << " +- " << found.known_to);
    CHECK(std::abs(found.factor - factor) < 2. * found.known_to);
    CHECK(found.known_to < 0.02); // the strips tell it
    CHECK_FALSE(found.at_bound());
    CHECK_FALSE(found.implausible());
  }
  CHECK(fit.not_apart.empty());
  CHECK(fit.solutions <= 16);
  // Written, it reads back as the bow that was fitted.
  const Case back = read(fitted_text(text, measured, fit));
  CHECK(draw_quickly(back, false, nullptr).draw_weight == Approx(fit.measurements[0].after).epsilon(1e-5));
  // A case whose material is its own already is fitted in place.
  const std::string once = fitted_text(text, measured, fit);
  CHECK(read(fitted_text(once, measured, fit)).bow.materials.size() == back.bow.materials.size());
}

TEST_CASE("Without noise, and nothing expected of them, moduli come back as they were", "[quick]")
{
  const std::string text = coarse_ash();
  const Case bow = read(text);
  const Case measured = read(text + weight_table(28. * inch, weight_of(bow, 1.1, 0.9, 28. * inch), 0.02 * pound_force) +
                             strip_table(bow, 1, 0.9, 0.));
  ScatterSizes wide;
  wide.wood_modulus = 0.3;
  const ModulusFit fit = fit_moduli(measured, wide, {}, nullptr);
  REQUIRE(fit.complete);
  CHECK(modulus(fit, bow.bow.upper.laminations[0].material).factor == Approx(1.1).epsilon(2e-3));
  CHECK(modulus(fit, bow.bow.upper.laminations[1].material).factor == Approx(0.9).epsilon(2e-3));
}

TEST_CASE("A fit says what its measurements cannot tell, and what is implausible", "[quick]")
{
  const std::string text = coarse_ash();
  const Case bow = read(text);
  const double described = weight_of(bow, 1., 1., 28. * inch);
  // The weight alone does not tell belly from back.
  const Case weighed = read(text + weight_table(28. * inch, 1.05 * described, 0.1 * pound_force));
  const ModulusFit fit = fit_moduli(weighed, {}, {}, nullptr);
  REQUIRE(fit.complete);
  CHECK(fit.not_apart.size() == 1);
  CHECK(fit.measurements[0].after == Approx(1.05 * described).epsilon(2e-3));
  CHECK(modulus_fit_words(weighed, fit).find("CANNOT TELL") != std::string::npos);
  // Half again as heavy asks for woods that do not grow.
  const Case heavy = read(text + weight_table(28. * inch, 1.9 * described, 0.1 * pound_force));
  const ModulusFit beyond = fit_moduli(heavy, {}, {}, nullptr);
  REQUIRE(beyond.complete);
  const std::string words = modulus_fit_words(heavy, beyond);
  INFO(words);
  CHECK((words.find("IMPLAUSIBLE") != std::string::npos || words.find("AT THE LIMIT") != std::string::npos));
  CHECK_FALSE(fit_moduli(bow, {}, {}, nullptr).complete);
}
