#include "cases/report/read_results.h"

#include "cases/reader/case_reader.h"
#include "cases/report/flaw_words.h"
#include "cases/report/results_file.h"
#include "cases/report/stored_checks.h"
#include "cases/report/stored_rows.h"
#include "cases/report/words.h"

#include <fmt/format.h>

#include <cmath>
#include <stdexcept>

namespace limbwright
{
namespace
{
[[noreturn]] void unknown_word(const std::string &place, const std::string &word)
{
  throw std::runtime_error("the results file holds an unknown word '" + word + "' in " + place +
                           "; it was written by another version of this program");
}

Face face_of(const std::string &place, const std::string &words)
{
  for (const Face face : {Face::belly, Face::back, Face::inside})
    if (face_words(face) == words)
      return face;
  unknown_word(place, words);
}

FailureMode mode_of(const std::string &place, const std::string &key)
{
  if (const auto mode = mode_of_key(key))
    return *mode;
  unknown_word(place, key);
}

LimbName limb_of_key(const std::string &place, const std::string &key)
{
  for (const LimbName limb : {LimbName::upper, LimbName::lower})
    if (limb_key(limb) == key)
      return limb;
  unknown_word(place, key);
}

std::vector<SidewaysHold> sideways_of(const Hdf5Source &file)
{
  if (!file.has("/sideways"))
    return {};
  std::vector<SidewaysHold> holds = rows_of(file, "/sideways", sideways_fields);
  const auto stages = file.words("/sideways/stage");
  for (std::size_t i = 0; i < holds.size(); ++i)
    holds[i].stage = stages.at(i);
  return holds;
}

std::vector<HotSpot> spots_of(const Hdf5Source &file, const std::string &place)
{
  const auto number = [&](const char *name) { return file.numbers(place + "/" + name); };
  const auto word = [&](const char *name) { return file.words(place + "/" + name); };
  const auto limb = word("limb"), face = word("face"), mode = word("mode"), note = word("note");
  const auto station = number("station"), across = number("across"), lamination = number("lamination"),
             line = number("glue_line"), back = number("back_lamination"), index = number("index"), stress = number("stress"),
             stress_limit = number("stress_limit"), strain = number("strain"), strain_limit = number("strain_limit"),
             energy = number("energy_per_area"), energy_limit = number("energy_per_area_limit"),
             draw_at_one = number("draw_at_index_1"), averaged = number("averaged");
  std::vector<HotSpot> spots(limb.size());
  for (std::size_t i = 0; i < spots.size(); ++i)
  {
    HotSpot &spot = spots[i];
    spot.limb = limb_of_key(place, limb.at(i));
    spot.station = stored_number(station.at(i), "station", false);
    spot.across = stored_number(across.at(i), "across", false);
    spot.lamination = whole_number(lamination.at(i), "lamination");
    spot.glue_line = whole_number(line.at(i), "glue_line");
    spot.back_lamination = whole_number(back.at(i), "back_lamination");
    spot.face = face_of(place, face.at(i));
    spot.mode = mode_of(place, mode.at(i));
    spot.index = stored_number(index.at(i), "index", false);
    switch (measure_of(spot.mode))
    {
    case Measure::stress:
      spot.value = stress.at(i);
      spot.limit = stress_limit.at(i);
      break;
    case Measure::strain:
      spot.value = strain.at(i);
      spot.limit = strain_limit.at(i);
      break;
    case Measure::energy:
      spot.value = energy.at(i);
      spot.limit = energy_limit.at(i);
      break;
    case Measure::ratio:
      spot.value = spot.index;
      spot.limit = 1.;
      break;
    }
    if (std::isfinite(draw_at_one.at(i)))
      spot.draw_at_one = draw_at_one[i];
    spot.averaged = averaged.at(i) != 0.;
    spot.note = note.at(i);
  }
  return spots;
}

LimbSnapshot limb_snapshot(const Hdf5Source &file, const std::string &place, LimbName limb)
{
  LimbSnapshot read;
  read.limb = limb;
  read.faces = rows_of(file, place + "/faces", face_fields);
  const auto words = file.words(place + "/faces/face");
  for (std::size_t i = 0; i < read.faces.size(); ++i)
    read.faces[i].face = face_of(place, words.at(i));
  read.glue = rows_of(file, place + "/glue", glue_fields);
  const auto back = file.numbers(place + "/glue/back_lamination");
  for (std::size_t i = 0; i < read.glue.size(); ++i)
    read.glue[i].back_lamination = whole_number(back.at(i), "back_lamination");
  if (file.has(place + "/patch_ends"))
    read.patch_ends = rows_of(file, place + "/patch_ends", patch_end_fields);
  if (file.has(place + "/free_edges"))
    read.free_edges = rows_of(file, place + "/free_edges", patch_end_fields);
  read.sections = rows_of(file, place + "/sections", section_fields);
  return read;
}

std::vector<Snapshot> snapshots_of(const Hdf5Source &file, const std::string &group)
{
  std::vector<Snapshot> snapshots;
  for (int i = 0; file.has(fmt::format("{}/{:03d}", group, i)); ++i)
  {
    const auto place = fmt::format("{}/{:03d}", group, i);
    Snapshot read;
    read.stage = file.attribute(place, "stage");
    read.field_name = file.attribute(place, "field_files");
    std::vector<DrawPoint> points = rows_of(file, place + "/point", draw_fields);
    for (const auto &field : contact_fields)
      fill(points, field, file.numbers(place + "/point/" + field.name));
    read.point = points.at(0);
    read.worst = spots_of(file, place + "/worst");
    for (const LimbName limb : {LimbName::upper, LimbName::lower})
      if (file.has(place + "/" + limb_key(limb)))
        read.limbs.push_back(limb_snapshot(file, place + "/" + limb_key(limb), limb));
    snapshots.push_back(std::move(read));
  }
  return snapshots;
}

std::vector<Event> events_of(const Hdf5Source &file, const std::string &place)
{
  auto events = rows_of(file, place, event_fields);
  const auto what = file.words(place + "/what"), limb = file.words(place + "/limb"), mode = file.words(place + "/mode");
  for (std::size_t i = 0; i < events.size(); ++i)
  {
    const auto kind = event_of_key(what.at(i));
    if (!kind)
      unknown_word(place + "/what", what[i]);
    events[i].kind = *kind;
    events[i].limb = limb_of_key(place, limb.at(i));
    events[i].mode = mode_of(place + "/mode", mode.at(i));
  }
  return events;
}

std::vector<FlawDifference> flaw_differences_of(const Hdf5Source &file, const std::string &place)
{
  const auto limb = file.words(place + "/flaws/limb"), kind = file.words(place + "/flaws/kind");
  const auto number = [&](const char *name) { return file.numbers(place + "/flaws/" + name); };
  const auto which = number("number"), lamination = number("lamination"), line = number("glue_line"), from = number("from"),
             to = number("to"), beside = number("beside"), ratio = number("bend_ratio"), station = number("bend_station");
  std::vector<FlawDifference> flaws(limb.size());
  for (std::size_t i = 0; i < flaws.size(); ++i)
  {
    const auto known = flaw_of_key(kind.at(i));
    if (!known)
      unknown_word(place + "/flaws/kind", kind[i]);
    flaws[i].limb = limb_of_key(place, limb[i]);
    flaws[i].flaw.kind = *known;
    flaws[i].flaw.number = whole_number(which.at(i), "number");
    flaws[i].flaw.lamination = whole_number(lamination.at(i), "lamination");
    flaws[i].flaw.glue_line = whole_number(line.at(i), "glue_line");
    flaws[i].flaw.from = stored_number(from.at(i), "from", false);
    flaws[i].flaw.to = stored_number(to.at(i), "to", false);
    flaws[i].flaw.beside = stored_number(beside.at(i), "beside", false);
    flaws[i].bend_ratio = stored_number(ratio.at(i), "bend_ratio", true);
    flaws[i].bend_station = stored_number(station.at(i), "bend_station", true);
    flaws[i].with = spots_of(file, fmt::format("{}/worst_with/{:03d}", place, i));
    flaws[i].without = spots_of(file, fmt::format("{}/worst_without/{:03d}", place, i));
  }
  return flaws;
}

std::vector<FlawCost> flaw_costs_of(const Hdf5Source &file)
{
  std::vector<FlawCost> costs;
  for (int i = 0; file.has(fmt::format("/flaw_costs/{:03d}", i)); ++i)
  {
    const auto place = fmt::format("/flaw_costs/{:03d}", i);
    FlawCost cost;
    const auto beside = beside_of_key(file.attribute(place, "beside"));
    if (!beside)
      unknown_word(place, file.attribute(place, "beside"));
    cost.beside = *beside;
    cost.complete = file.attribute(place, "complete") == "yes";
    cost.reason = file.attribute(place, "reason");
    cost.change_files = file.attribute(place, "field_files");
    for (const FlawCostFigure &figure : flaw_cost_figures)
      cost.*figure.member =
          stored_number(file.numbers(place + "/" + figure.name).at(0), figure.name, std::isnan(FlawCost{}.*figure.member));
    cost.flaws = flaw_differences_of(file, place);
    cost.events = events_of(file, place + "/events");
    costs.push_back(std::move(cost));
  }
  return costs;
}

Case case_of(const Hdf5Source &file)
{
  auto outcome = read_case_text(file.words("/case/resolved").at(0), file.attribute("/", "case") + ".toml");
  if (!outcome.read)
    throw std::runtime_error("the bow file kept in the results, written by " + file.attribute("/", "program") +
                             ", can no longer be read: " + (outcome.errors.empty() ? "" : format(outcome.errors.front())));
  return std::move(*outcome.read);
}

SolveReport solve_of(const Hdf5Source &file)
{
  SolveReport solve;
  const auto whole = [&](const char *name) { return whole_number(file.number_attribute("/solve", name), name); };
  solve.unknowns = whole("unknowns");
  solve.cells = whole("cells");
  solve.columns = whole("columns");
  solve.brace_iterations = whole("brace_iterations");
  solve.draw_iterations = whole("draw_iterations");
  solve.steps_cut = whole("steps_cut");
  const auto phases = file.words("/solve/phases/phase");
  const auto seconds = file.numbers("/solve/phases/seconds");
  for (std::size_t i = 0; i < phases.size(); ++i)
    solve.phases.push_back({phases[i], stored_number(seconds.at(i), "seconds", false)});
  return solve;
}

void read_figures(const Hdf5Source &file, DrawResults &results)
{
  const auto figure = [&](const char *key, bool may_be_unknown = false)
  { return stored_number(file.numbers(std::string("/summary/") + key).at(0), key, may_be_unknown); };
  results.brace_height = figure("brace_height_m");
  results.brace_tension = figure("brace_tension_N");
  results.full_draw_tension = figure("full_draw_tension_N");
  results.draw_weight = figure("draw_weight_N");
  results.draw_length = figure("draw_length_m");
  results.rise_per_metre = figure("rise_at_full_draw_N_per_m");
  results.stored_energy = figure("stored_energy_J");
  results.string_slack_length = figure("string_slack_length_m");
  results.tip_angle = figure("tip_angle_rad");
  results.gaps_braced = {figure("string_gap_upper_braced_m", true), figure("string_gap_lower_braced_m", true)};
  results.gaps_full = {figure("string_gap_upper_full_draw_m", true), figure("string_gap_lower_full_draw_m", true)};
  results.mass_upper = figure("mass_upper_kg");
  results.mass_lower = figure("mass_lower_kg");
  results.spring_upper = figure("spring_from_described_shape_upper_m", true);
  results.spring_lower = figure("spring_from_described_shape_lower_m", true);
  results.let_down.set_upper = figure("set_upper_m", true);
  results.let_down.set_lower = figure("set_lower_m", true);
}
StoredRun run_of(const Hdf5Source &file)
{
  if (!file.has("/format") || file.numbers("/format").at(0) != results_format)
    throw std::runtime_error("it was written by another version of this program (" + file.attribute("/", "program") +
                             ") in a layout that this one does not read; draw the bow again");
  StoredRun run{case_of(file), {}};
  DrawResults &results = run.results;
  const auto yes = [&](const char *place, const char *name) { return file.attribute(place, name) == "yes"; };
  results.complete = yes("/", "complete");
  results.failed_stage = file.attribute("/", "failed_stage");
  results.reason = file.attribute("/", "reason");
  results.symmetric = yes("/", "symmetric");
  read_figures(file, results);
  results.snapshots = snapshots_of(file, "/steps");
  results.draw_curve = rows_of(file, "/draw_curve", draw_fields);
  results.overdraw = rows_of(file, "/past_full_draw", draw_fields);
  results.events = events_of(file, "/events");
  results.let_down.complete = yes("/let_down", "complete");
  results.let_down.reason = file.attribute("/let_down", "reason");
  results.let_down.iterations = whole_number(file.number_attribute("/let_down", "iterations"), "iterations");
  results.let_down.cycles = rows_of(file, "/cycles", cycle_fields);
  results.let_down.snapshots = snapshots_of(file, "/let_down");
  results.worst = spots_of(file, "/worst");
  results.sideways = sideways_of(file);
  results.flaw_costs = flaw_costs_of(file);
  results.solve = solve_of(file);
  check_stored(run);
  return run;
}
} // namespace

StoredRun read_results_file(const std::filesystem::path &path)
{
  const Hdf5Source file(path);
  try
  {
    return run_of(file);
  }
  catch (const std::exception &fault) // columns too short are std::out_of_range
  {
    throw std::runtime_error("cannot read " + path.string() + ": " + fault.what());
  }
}
} // namespace limbwright
