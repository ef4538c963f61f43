#include "cases/study/bow_figures.h"
#include "cases/study/resize.h"
#include "solver/stages/draw_bow.h"
#include "solver/stages/drawn_bow.h"
#include "support/cases.h"
#include "support/check_table.h"

#include <algorithm>
#include <functional>

using namespace limbwright;
using namespace limbwright::checks;

namespace
{
Case example(const std::string &name)
{
  return read(std::filesystem::path(LIMBWRIGHT_EXAMPLES) / name / (name + ".toml"));
}

using Change = std::function<void(Case &, double)>;

// First-order changes from one converged state against central differences of whole solutions. Those choose their columns anew,
// by the thickness of what lies beside a lamination's end: the half per cent by which the glass bow's core is off.
void compare(CheckTable &table, const std::string &what, const Case &bow_case, const Change &change, double step,
             double tolerance)
{
  SolveSettings settings = bow_case.solve;
  settings.overdraw = false;
  settings.cycles = 0;
  settings.judging = Judging::last_only;
  settings.tolerance = 1e-9; // differences of small changes
  const auto moved = [&](double amount)
  {
    Case other = bow_case;
    change(other, amount);
    return other;
  };
  const auto solved = [&](double amount)
  {
    const Case other = moved(amount);
    const DrawResults results = draw_bow(bow_in_use(other).bow, other.mesh, settings, {}, {}, {}, nullptr);
    REQUIRE(results.complete);
    return figures_of(other, results);
  };
  const DrawnBow bow(bow_in_use(bow_case).bow, bow_case.mesh, settings, nullptr);
  REQUIRE(bow.results().complete);
  const BowFigures base = figures_of(bow_case, bow.results());
  const double small = 1e-3 * step;
  const Case nudged = moved(small);
  const BowFigures near = figures_of(nudged, bow.changed(bow_in_use(nudged).bow));
  const BowFigures above = solved(step), below = solved(-step), here = solved(0.);
  table.relative(what + ": weight itself [N]", base.weight, here.weight, 1e-6);
  // A change that all but leaves the weight alone, for it gives as much as it takes, counts as one of 1e-4 of the weight.
  const double of_weight = 0.5 * (above.weight - below.weight);
  table.absolute(what + ": weight [N/step]", (near.weight - base.weight) / small * step, of_weight,
                 tolerance * std::max(std::abs(of_weight), 1e-4 * base.weight));
  table.relative(what + ": brace tension [N/step]", (near.brace_tension - base.brace_tension) / small * step,
                 0.5 * (above.brace_tension - below.brace_tension), tolerance);
  table.relative(what + ": belly strain [1/step]", (near.belly_strain - base.belly_strain) / small * step,
                 0.5 * (above.belly_strain - below.belly_strain), tolerance);
}
} // namespace

TEST_CASE("First-order changes agree with whole solutions", "[verification]")
{
  CheckTable table("What a small change does to a drawn bow, from one converged state",
                   "central differences of whole solutions of the same model");
  const Change core = [](Case &bow, double amount)
  {
    std::string error;
    const auto what = resizing(bow, "core", error);
    bow = resized(bow, *what, amount);
  };
  const Change wider = [](Case &bow, double amount)
  {
    std::string error;
    const auto what = resizing(bow, "width", error);
    bow = resized(bow, *what, amount);
  };
  const Change brace = [](Case &bow, double amount) { bow.bow.brace_height += amount; };
  const Change trapped = [](Case &bow, double amount)
  {
    bow.bow.upper.section.back_width_factor = 0.9 + amount;
    if (bow.bow.lower)
      bow.bow.lower->section.back_width_factor = 0.9 + amount;
  };
  for (const char *name : {"maple-glass-thin", "ash-hickory-board", "cherry-hickory-unlike"})
    for (const bool yields : {false, true})
    {
      Case bow = example(name);
      bow.solve.wood_yields = yields;
      const std::string what = std::string(name).substr(0, 10) + (yields ? ", yields" : ", elastic");
      compare(table, what + ", core", bow, core, 0.02e-3, 0.01);
      compare(table, what + ", width", bow, wider, 2e-3, 0.01);
      compare(table, what + ", brace", bow, brace, 0.5e-3, 0.01);
      trapped(bow, 0.);
      compare(table, what + ", trapped", bow, trapped, 2e-3, 0.01);
    }
}
