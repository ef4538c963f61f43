#include "cases/report/manifest.h"

#include "cases/report/checksum.h"
#include "cases/report/text_file.h"
#include "cases/report/versions.h"

#include <nlohmann/json.hpp>

#include <algorithm>
#include <ctime>

#include <sys/resource.h>

namespace limbwright
{
namespace
{
std::string utc(std::chrono::system_clock::time_point moment)
{
  const std::time_t seconds = std::chrono::system_clock::to_time_t(moment);
  std::tm parts{};
  ::gmtime_r(&seconds, &parts);
  char text[32];
  const auto length = std::strftime(text, sizeof text, "%Y-%m-%dT%H:%M:%SZ", &parts);
  return {text, length};
}
} // namespace

long peak_memory()
{
  rusage usage{};
  ::getrusage(RUSAGE_SELF, &usage);
  return usage.ru_maxrss * 1024L; // Linux counts in KiB
}

std::string manifest_json(const std::filesystem::path &folder, const Case &bow_case, const DrawResults &results,
                          const RunRecord &record, const std::vector<std::string> &files)
{
  nlohmann::ordered_json json;
  const auto &solve = results.solve;
  json["program"] = "limbwright";
  json["version"] = program_version();
  json["libraries"] = library_versions();
  json["case"] = bow_case.name;
  json["title"] = bow_case.title;
  json["complete"] = results.complete;
  json["failed_stage"] = results.failed_stage;
  json["started_utc"] = utc(record.started);
  json["finished_utc"] = utc(record.finished);
  json["mesh"] = {{"cells", solve.cells}, {"columns", solve.columns}, {"unknowns", solve.unknowns}};
  json["iterations"] = {{"brace", solve.brace_iterations}, {"draw", solve.draw_iterations}, {"steps_cut", solve.steps_cut}};
  json["seconds"] = nlohmann::ordered_json::object();
  for (const auto &phase : solve.phases)
    json["seconds"][phase.phase] = json["seconds"].value(phase.phase, 0.) + phase.seconds;
  json["peak_memory_MB"] = static_cast<double>(record.peak_memory) / 1e6;
  json["files"] = files;
  for (const std::string &file : files)
    if (file != manifest_name)
      json["crc32"][file] = checksum(folder / file);
  return json.dump(2, ' ', false, nlohmann::ordered_json::error_handler_t::replace) + "\n";
}

void list_in_manifest(const std::filesystem::path &folder, const std::string &file)
{
  const auto path = folder / manifest_name;
  if (!std::filesystem::is_regular_file(path))
    return;
  auto json = nlohmann::ordered_json::parse(read_text_file(path), nullptr, false);
  if (!json.is_object() || !json["files"].is_array() || !(json["crc32"].is_null() || json["crc32"].is_object()))
    return;
  if (std::count(json["files"].begin(), json["files"].end(), file) == 0)
    json["files"].push_back(file);
  json["crc32"][file] = checksum(folder / file);
  write_text_file(path, json.dump(2, ' ', false, nlohmann::ordered_json::error_handler_t::replace) + "\n");
}
} // namespace limbwright
