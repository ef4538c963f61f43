#pragma once

#include "cases/reader/case.h"
#include "solver/results.h"

#include <filesystem>

namespace limbwright
{
/// A run as its results file keeps it.
struct StoredRun
{
  Case bow_case;
  DrawResults results;
};

/// Name of the file in a results folder that everything else can be made from again.
inline constexpr const char *results_file_name = "results.h5";

/// Reads results.h5 back: what write_results_file() was given. Throws std::runtime_error with file, place and reason; where
/// another version of the program wrote it and something in it is no longer understood, that is said.
StoredRun read_results_file(const std::filesystem::path &path);
} // namespace limbwright
