#include "cases/report/results_file.h"

#include "cases/report/flaw_words.h"
#include "cases/report/hdf5_file.h"
#include "cases/report/result_fields.h"
#include "cases/report/result_tables.h"
#include "cases/report/summary.h"
#include "cases/report/versions.h"
#include "cases/report/words.h"

#include <fmt/core.h>

namespace limbwright
{
namespace
{
void write_snapshot(Hdf5File &file, const std::string &place, const Case &bow_case, const Snapshot &snapshot)
{
  file.group(place);
  file.attribute(place, "stage", snapshot.stage);
  file.attribute(place, "field_files", snapshot.field_name);
  file.table(place + "/point", step_table(snapshot.point));
  file.table(place + "/worst", hot_spot_table(bow_case, snapshot.worst));
  for (const auto &limb : snapshot.limbs)
  {
    const auto below = place + "/" + limb_key(limb.limb);
    file.table(below + "/faces", face_table(limb.faces));
    file.table(below + "/glue", glue_table(limb.glue));
    if (!limb.patch_ends.empty())
      file.table(below + "/patch_ends", patch_end_table(limb.patch_ends));
    if (!limb.free_edges.empty())
      file.table(below + "/free_edges", patch_end_table(limb.free_edges));
    file.table(below + "/sections", section_table(limb.sections));
  }
}

void write_flaw_cost(Hdf5File &file, const std::string &place, const Case &bow_case, const FlawCost &cost)
{
  file.group(place);
  file.attribute(place, "beside", beside_key(cost.beside));
  file.attribute(place, "complete", cost.complete ? "yes" : "no");
  file.attribute(place, "reason", cost.reason);
  file.attribute(place, "field_files", cost.change_files);
  for (const FlawCostFigure &figure : flaw_cost_figures)
    file.numbers(place + "/" + figure.name, {cost.*figure.member}, figure.unit);
  file.table(place + "/flaws", flaw_table(cost.flaws));
  for (std::size_t i = 0; i < cost.flaws.size(); ++i)
  {
    file.table(fmt::format("{}/worst_with/{:03d}", place, i), hot_spot_table(bow_case, cost.flaws[i].with));
    file.table(fmt::format("{}/worst_without/{:03d}", place, i), hot_spot_table(bow_case, cost.flaws[i].without));
  }
  file.table(place + "/events", event_table(cost.events));
}

Table phase_table(const std::vector<PhaseTime> &phases)
{
  return {{word_column("phase", phases, [](const PhaseTime &p) { return p.phase; }),
           number_column("seconds", "s", phases, [](const PhaseTime &p) { return p.seconds; })}};
}
} // namespace

void write_results_file(const std::filesystem::path &path, const Case &bow_case, const DrawResults &results)
{
  Hdf5File file(path);
  file.attribute("/", "program", "limbwright " + program_version());
  file.attribute("/", "case", bow_case.name);
  file.attribute("/", "draw_length_convention", convention_words(bow_case.convention));
  file.attribute("/", "draw_length_offset_m", convention_offset(bow_case));
  file.attribute("/", "complete", results.complete ? "yes" : "no");
  file.attribute("/", "failed_stage", results.failed_stage);
  file.attribute("/", "reason", results.reason);
  file.attribute("/", "symmetric", results.symmetric ? "yes" : "no");
  file.attribute(
      "/", "measures",
      "stresses second Piola-Kirchhoff, strains Green-Lagrange, in grain axes of the unstrung limb; stations along the back from "
      "center (the middle of the handle); draw from the throat of the grip (pivot) to the nocking point");
  file.numbers("/format", {results_format}, "1");
  file.words("/case/resolved", {bow_case.resolved});
  file.words("/case/title", {bow_case.title});
  file.words("/case/about", {bow_case.about});

  for (const auto &quantity : summary_quantities(bow_case, results))
    file.numbers("/summary/" + quantity.key, {quantity.value}, quantity.unit);
  file.table("/draw_curve", draw_table(results.draw_curve));
  file.table("/past_full_draw", draw_table(results.overdraw));
  file.group("/steps");
  for (std::size_t i = 0; i < results.snapshots.size(); ++i)
    write_snapshot(file, fmt::format("/steps/{:03d}", i), bow_case, results.snapshots[i]);
  file.table("/events", event_table(results.events));
  file.group("/let_down");
  file.attribute("/let_down", "complete", results.let_down.complete ? "yes" : "no");
  file.attribute("/let_down", "reason", results.let_down.reason);
  file.attribute("/let_down", "iterations", results.let_down.iterations);
  for (std::size_t i = 0; i < results.let_down.snapshots.size(); ++i)
    write_snapshot(file, fmt::format("/let_down/{:03d}", i), bow_case, results.let_down.snapshots[i]);
  file.table("/cycles", cycle_table(results.let_down.cycles));
  file.table("/layers/upper", extreme_table(bow_case, results, LimbName::upper));
  if (!results.symmetric)
    file.table("/layers/lower", extreme_table(bow_case, results, LimbName::lower));
  file.table("/worst", hot_spot_table(bow_case, results.worst));

  if (!results.sideways.empty())
    file.table("/sideways", sideways_table(results.sideways));
  file.group("/flaw_costs");
  for (std::size_t i = 0; i < results.flaw_costs.size(); ++i)
    write_flaw_cost(file, fmt::format("/flaw_costs/{:03d}", i), bow_case, results.flaw_costs[i]);

  file.table("/solve/phases", phase_table(results.solve.phases));
  file.attribute("/solve", "unknowns", results.solve.unknowns);
  file.attribute("/solve", "cells", results.solve.cells);
  file.attribute("/solve", "columns", results.solve.columns);
  file.attribute("/solve", "brace_iterations", results.solve.brace_iterations);
  file.attribute("/solve", "draw_iterations", results.solve.draw_iterations);
  file.attribute("/solve", "steps_cut", results.solve.steps_cut);
  file.close();
}
} // namespace limbwright
