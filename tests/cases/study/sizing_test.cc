#include "cases/reader/case_reader.h"
#include "cases/report/output_units.h"
#include "cases/study/case_edit.h"
#include "cases/study/sizing_words.h"

#include <catch2/catch.hpp>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <sstream>

using namespace limbwright;

namespace
{
std::string example(const std::string &name)
{
  std::ifstream file(std::filesystem::path(LIMBWRIGHT_EXAMPLES) / name / (name + ".toml"));
  std::ostringstream text;
  text << file.rdbuf();
  return text.str();
}

Case read(const std::string &text)
{
  ReadOutcome outcome = read_case_text(text, "bow.toml");
  REQUIRE(outcome.read);
  return *outcome.read;
}

Resizing by(const Case &bow, const std::string &word)
{
  std::string error;
  const auto what = resizing(bow, word, error);
  INFO(error);
  REQUIRE(what);
  return *what;
}
} // namespace

TEST_CASE("The core is what tapers between the facings", "[quick]")
{
  const Case glass = read(example("maple-glass-thin"));
  CHECK(by(glass, "core").laminations == std::vector<std::string>{"belly-side maple", "back-side maple"});
  CHECK(by(read(example("ash-hickory-board")), "core").laminations == std::vector<std::string>{"belly"});
  CHECK(by(read(example("hickory-heavy-flatbow")), "core").laminations == std::vector<std::string>{"stave"});
  CHECK(by(glass, "power lam").in_proportion);
  CHECK_FALSE(by(glass, "belly glass").in_proportion);
  std::string error;
  CHECK_FALSE(resizing(glass, "powre lam", error));
  CHECK(error.find("power lam") != std::string::npos);
}

TEST_CASE("The resized text reads back as the resized bow", "[quick]")
{
  for (const char *name : {"maple-glass-thin", "ash-hickory-board", "cherry-hickory-unlike", "spruce-linen-flatbow"})
    for (const char *word : {"core", "width"})
    {
      const std::string text = example(name);
      const Case bow = read(text);
      const Resizing what = by(bow, word);
      const double amount = what.width ? 0.031 : 0.0123 * inch;
      const Case direct = resized(bow, what, amount), back = read(resized_text(text, bow, what, amount));
      INFO(name << ", " << word);
      for (std::size_t i = 0; i < direct.bow.upper.laminations.size(); ++i)
        for (std::size_t k = 0; k < direct.bow.upper.laminations[i].thickness.value.size(); ++k)
          CHECK(back.bow.upper.laminations[i].thickness.value[k] ==
                Approx(direct.bow.upper.laminations[i].thickness.value[k]).epsilon(1e-5));
      for (std::size_t k = 0; k < direct.bow.upper.width.value.size(); ++k)
        CHECK(back.bow.upper.width.value[k] == Approx(direct.bow.upper.width.value[k]).epsilon(1e-5));
      CHECK(back.bow.lower.has_value() == bow.bow.lower.has_value());
    }
}

TEST_CASE("Pieces that are written with glue, or by butt and taper, are resized as written", "[quick]")
{
  std::string text = example("maple-glass-thin");
  text = with_value(text, "glue.stack", "glued").text;
  const std::string table =
      R"(thickness = {s = "in", thickness = "in", between_rows = "straight", rows = [[4, 0.085], [8, 0.085], [30.5, 0.049]]})";
  text.replace(text.find(table), table.size(), "butt = \"0.085 in\"\ntaper = \"1.5 thou/in\"");
  const Case bow = read(text);
  const Resizing what = by(bow, "core");
  const Case direct = resized(bow, what, 0.01 * inch), back = read(resized_text(text, bow, what, 0.01 * inch));
  for (const std::size_t i : {1, 6})
  {
    const StationTable &a = direct.bow.upper.laminations[i].thickness, &b = back.bow.upper.laminations[i].thickness;
    for (const double s : {5. * inch, 15. * inch, 30. * inch})
      CHECK(a.at(s) == Approx(b.at(s)).epsilon(1e-4));
  }
}

TEST_CASE("Sizing comes back to a bow that was made too strong", "[quick]")
{
  // The weight is that of the case as it stands; made 6 thou too thick it must lose those again.
  Case bow = read(
      with_value(with_value(example("ash-hickory-board"), "mesh.column_length", "0.5 in").text, "solve.wood", "elastic").text);
  const Resizing what = by(bow, "core");
  const double weight = draw_quickly(bow, false, nullptr).draw_weight;
  const Sizing sizing = size_bow(resized(bow, what, 6. * thou), what, weight, {}, nullptr);
  REQUIRE(sizing.reached);
  CHECK(sizing.amount == Approx(-6. * thou).margin(0.25 * thou)); // a tenth of a pound is half a thou here; half of each side
  CHECK(std::abs(sizing.results.draw_weight - weight) <= weight_tolerance);
  CHECK(sizing.trials.size() <= 4);
  CHECK(sizing_words(bow, what, sizing, weight).find("take off 0.00") != std::string::npos);
}

TEST_CASE("Sizing says where no size of sense reaches the weight", "[quick]")
{
  const Case bow = read(
      with_value(with_value(example("ash-hickory-board"), "mesh.column_length", "0.5 in").text, "solve.wood", "elastic").text);
  const Resizing what = by(bow, "width");
  const double weight = 400. * pound_force;
  const Sizing sizing = size_bow(bow, what, weight, {}, nullptr);
  CHECK_FALSE(sizing.reached);
  CHECK(sizing.amount == what.highest);
  const std::string words = sizing_words(bow, what, sizing, weight);
  CHECK(words.find("CANNOT BE REACHED") != std::string::npos);
  CHECK(words.find("closest") != std::string::npos);
}

TEST_CASE("Sizing reaches a weight at which the belly is crushed all along the limb", "[quick]")
{
  const Case bow = read(with_value(example("spruce-linen-flatbow"), "mesh.column_length", "0.5 in").text);
  const Resizing what = by(bow, "core");
  const Sizing sizing = size_bow(bow, what, 80. * pound_force, {}, nullptr);
  CHECK(sizing.reached);
  CHECK(sizing.trials.size() <= 5);
  CHECK(sizing.results.solve.steps_cut == 0);
  CHECK(sizing.results.rise_per_metre > 0.);
}

TEST_CASE("Sizing ends where the limb gives way again and again, at the nearest that held", "[quick]")
{
  // A belly of spruce that bears less and less once it has crushed by four in a thousand: a stronger limb folds.
  // Straight between the rows of its tables: at their corners it folds first.
  std::string text = with_value(example("spruce-linen-flatbow"), "mesh.column_length", "1.5 in").text;
  for (std::size_t at = text.find("rows = "); at != std::string::npos; at = text.find("rows = ", at + 40))
    text.insert(at, "between_rows = \"straight\", ");
  Case bow = read(text);
  Material &spruce = bow.bow.materials.at("sitka-spruce");
  spruce.crushing.falling = 2e9;
  spruce.crushing.fall_from = 4e-3;
  const Resizing what = by(bow, "core");
  std::vector<double> amounts;
  const Sizing sizing = size_bow(
      bow, what, 120. * pound_force, [&](const SizingTrial &trial) { amounts.push_back(trial.amount); }, nullptr);
  CHECK_FALSE(sizing.reached);
  CHECK(sizing.trials.size() <= 5);
  REQUIRE(sizing.results.complete);
  CHECK(sizing.results.rise_per_metre > 0.);
  CHECK(sizing.results.draw_weight > 25. * pound_force);
  CHECK(sizing.results.draw_weight < 120. * pound_force);
  CHECK(std::adjacent_find(amounts.begin(), amounts.end()) == amounts.end());
  CHECK_FALSE(sizing.reason.empty());
  CHECK(sizing_words(bow, what, sizing, 120. * pound_force).find("What stops it: ") != std::string::npos);
}
