#pragma once

#include "cases/reader/case.h"
#include "solver/results.h"

#include <chrono>
#include <filesystem>
#include <string>
#include <vector>

namespace limbwright
{
inline constexpr const char *manifest_name = "manifest.json";

/// When a run was made and what it used.
struct RunRecord
{
  std::chrono::system_clock::time_point started;
  std::chrono::system_clock::time_point finished;
  long peak_memory = 0; //!< [byte] largest resident size of the program so far
};

/// [byte] largest resident size of the program so far.
long peak_memory();

/// The text of manifest.json; files are relative to the results folder, and are all there but for the manifest itself: "crc32"
/// has the checksum() of each.
std::string manifest_json(const std::filesystem::path &folder, const Case &bow_case, const DrawResults &results,
                          const RunRecord &record, const std::vector<std::string> &files);

/// A file of the folder was written anew: lists it, and its checksum, in the manifest. Nothing where there is no manifest. Throws
/// CannotWrite.
void list_in_manifest(const std::filesystem::path &folder, const std::string &file);
} // namespace limbwright
