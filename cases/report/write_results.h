#pragma once

#include "cases/reader/case.h"
#include "cases/report/manifest.h"
#include "solver/results.h"

#include <filesystem>
#include <string>
#include <vector>

namespace limbwright
{
/// Name of the folder below the results folder that holds the field files.
inline constexpr const char *fields_folder = "fields";

/// Writes answer, summary, sheets, the resolved case and results.h5 into an existing folder. Throws CannotWrite.
void write_results(const std::filesystem::path &folder, const Case &bow_case, const DrawResults &results);

/// Writes README.txt and, last, the manifest, which list what is there. record.finished and record.peak_memory are filled in
/// here. Throws CannotWrite.
void close_results(const std::filesystem::path &folder, const Case &bow_case, const DrawResults &results, RunRecord record);

/// The text of README.txt in a results folder that holds these files.
std::string results_readme(const Case &bow_case, const DrawResults &results, const std::vector<std::string> &files);
} // namespace limbwright
