#include "cases/report/path_file.h"

#include "cases/report/stored_rows.h"
#include "cases/report/text_file.h"
#include "cases/report/versions.h"

#include <fmt/format.h>

#include <algorithm>
#include <sstream>

namespace limbwright
{
namespace
{
namespace fs = std::filesystem;

// The resolved case without what may change from one attempt to the next.
std::string what_is_solved(const Case &bow_case)
{
  static const std::vector<std::string> may_change = {"brace_steps", "draw_steps", "max_iterations",
                                                      "tolerance",   "title",      "about"};
  std::istringstream lines(bow_case.resolved);
  std::string kept;
  for (std::string line; std::getline(lines, line);)
  {
    const std::string key = line.substr(0, line.find_first_of(" ="));
    if (std::find(may_change.begin(), may_change.end(), key) == may_change.end())
      kept += line + "\n";
  }
  return kept + fmt::format("dimension {}\n", bow_case.solve.dimension);
}

std::vector<double> list(const Eigen::VectorXd &values)
{
  return {values.begin(), values.end()};
}

Eigen::VectorXd vector(const std::vector<double> &values)
{
  return Eigen::Map<const Eigen::VectorXd>(values.data(), static_cast<Eigen::Index>(values.size()));
}

// Members of a point of glue, in the order in which they are stored.
constexpr double CohesiveState::*glue_members[] = {&CohesiveState::fraction, &CohesiveState::brittleness, &CohesiveState::norm,
                                                   &CohesiveState::spent, &CohesiveState::delayed};

void write_state(Hdf5File &file, const std::string &place, const State &state, const std::vector<History> &history)
{
  file.numbers(place + "/scalars", list(state.scalars), "");
  for (std::size_t k = 0; k < state.q.size(); ++k)
  {
    const std::string limb = fmt::format("{}/limb_{}", place, k);
    file.numbers(limb + "/displacement", list(state.q[k]), "m");
    file.numbers(limb + "/crushed", history[k].crushed, "1");
    std::vector<double> glue;
    for (const CohesiveState &point : history[k].glue)
      for (const auto member : glue_members)
        glue.push_back(point.*member);
    file.numbers(limb + "/glue", glue, "");
  }
}

void read_state(const Hdf5Source &file, const std::string &place, State &state, std::vector<History> &history)
{
  state.scalars = vector(file.numbers(place + "/scalars"));
  for (std::size_t k = 0; file.has(fmt::format("{}/limb_{}", place, k)); ++k)
  {
    const std::string limb = fmt::format("{}/limb_{}", place, k);
    state.q.push_back(vector(file.numbers(limb + "/displacement")));
    History past;
    past.crushed = file.numbers(limb + "/crushed");
    const std::vector<double> glue = file.numbers(limb + "/glue");
    past.glue.resize(glue.size() / std::size(glue_members));
    for (std::size_t i = 0; i < glue.size(); ++i)
      past.glue[i / std::size(glue_members)].*glue_members[i % std::size(glue_members)] = glue[i];
    history.push_back(std::move(past));
  }
}

std::string step_place(std::size_t number)
{
  return fmt::format("/steps/{:03d}", number);
}

struct Count
{
  const char *name;
  int DrawPath::*member;
};
constexpr Count counts[] = {{"brace_iterations", &DrawPath::brace_iterations},
                            {"draw_iterations", &DrawPath::draw_iterations},
                            {"steps_cut", &DrawPath::steps_cut}};

void write(Hdf5File &file, const DrawPath &path)
{
  file.group("/path");
  file.attribute("/path", "guided", path.guided ? "yes" : "no");
  file.attribute("/path", "snapped", path.snapped);
  for (const Count &count : counts)
    file.attribute("/path", count.name, path.*count.member);
  file.numbers("/path/slack_lengths", path.slack_lengths, "m");
  file.numbers("/path/sudden_growth", path.sudden_growth, "m");
  file.table("/path/past_full_draw", table_of(draw_fields, path.overdraw));
  for (std::size_t i = 0; i < path.steps.size(); ++i)
  {
    const PathStep &step = path.steps[i];
    const std::string place = step_place(i);
    file.group(place);
    file.attribute(place, "stage", step.stage);
    file.attribute(place, "iterations", step.iterations);
    file.table(place + "/point", table_of(draw_fields, std::vector{step.point}));
    file.table(place + "/contact", table_of(contact_fields, std::vector{step.point}));
    file.numbers(place + "/readings", list(step.readings), "");
    file.numbers(place + "/rates", list(step.rates), "");
    write_state(file, place, step.state, step.history);
  }
  if (!path.stringing)
    return;
  file.group("/stringing");
  file.attribute("/stringing", "parameter", path.stringing->parameter);
  write_state(file, "/stringing", path.stringing->state, path.stringing->history);
}

// While it is written.
fs::path part_of(fs::path file)
{
  return file += ".part";
}

DrawPath read(const Hdf5Source &file)
{
  DrawPath path;
  path.guided = file.attribute("/path", "guided") == "yes";
  path.snapped = file.number_attribute("/path", "snapped");
  for (const Count &count : counts)
    path.*count.member = whole_number(file.number_attribute("/path", count.name), count.name);
  path.slack_lengths = file.numbers("/path/slack_lengths");
  path.slack_length = path.slack_lengths.empty() ? 0. : path.slack_lengths.front();
  path.sudden_growth = file.numbers("/path/sudden_growth");
  path.overdraw = rows_of(file, "/path/past_full_draw", draw_fields);
  for (std::size_t i = 0; file.has(step_place(i)); ++i)
  {
    PathStep step;
    const std::string place = step_place(i);
    step.stage = file.attribute(place, "stage");
    step.iterations = whole_number(file.number_attribute(place, "iterations"), "iterations");
    std::vector<DrawPoint> points = rows_of(file, place + "/point", draw_fields);
    for (const auto &field : contact_fields)
      fill(points, field, file.numbers(place + "/contact/" + field.name));
    step.point = points.at(0);
    step.readings = vector(file.numbers(place + "/readings"));
    step.rates = vector(file.numbers(place + "/rates"));
    read_state(file, place, step.state, step.history);
    path.steps.push_back(std::move(step));
  }
  if (file.has("/stringing"))
  {
    path.stringing.emplace();
    path.stringing->parameter = file.number_attribute("/stringing", "parameter");
    read_state(file, "/stringing", path.stringing->state, path.stringing->history);
  }
  return path;
}

DrawPath read_path(const fs::path &file, const Case &bow_case, const RankShare &share)
{
  const Hdf5Source in(file);
  if (in.attribute("/", "program") != "limbwright " + program_version())
    throw CannotResume(file.string() + " was written by another version of this program; draw without --resume");
  if (whole_number(in.number_attribute("/", "n_ranks"), "n_ranks") != share.n_ranks)
    throw CannotResume(fmt::format("{} was left by a draw on {:.0f} processes; resume on as many", file.string(),
                                   in.number_attribute("/", "n_ranks")));
  if (in.words("/case").at(0) != what_is_solved(bow_case))
    throw CannotResume(file.string() + " belongs to another bow file, or this one has changed since (only steps, iterations and "
                                       "the tolerance may); draw without --resume");
  return read(in);
}
} // namespace

void write_path_file(const fs::path &file, const Case &bow_case, const RankShare &share, const DrawPath &path)
{
  const fs::path unfinished = part_of(file);
  std::error_code error;
  try
  {
    Hdf5File out(unfinished);
    out.attribute("/", "program", "limbwright " + program_version());
    out.attribute("/", "rank", share.rank);
    out.attribute("/", "n_ranks", share.n_ranks);
    out.words("/case", {what_is_solved(bow_case)});
    write(out, path);
    out.close();
    flush_to_disk(unfinished);
  }
  catch (const CannotWrite &)
  {
    fs::remove(unfinished, error);
    throw;
  }
  fs::rename(unfinished, file, error);
  if (error)
    throw CannotWrite(file, error.message());
}

void remove_path_file(const fs::path &file)
{
  std::error_code ignored;
  fs::remove(file, ignored);
  fs::remove(part_of(file), ignored);
}

DrawPath read_path_file(const fs::path &file, const Case &bow_case, const RankShare &share)
{
  if (!fs::exists(file))
    throw CannotResume("there is no draw to resume: " + file.string() +
                       " does not exist. A draw that is interrupted or fails leaves it next to its results. Draw without "
                       "--resume, or name that draw's folder with --out");
  try
  {
    return read_path(file, bow_case, share);
  }
  catch (const CannotResume &)
  {
    throw;
  }
  catch (const std::exception &fault)
  {
    throw CannotResume(std::string(fault.what()) + "; draw without --resume");
  }
}
} // namespace limbwright
