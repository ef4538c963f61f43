#pragma once

#include "cases/reader/case_reader.h"
#include "cases/report/summary.h"
#include "cases/run/run.h"

#include <catch2/catch.hpp>

#include <algorithm>
#include <filesystem>
#include <map>
#include <string>
#include <vector>

namespace limbwright::checks
{
inline std::vector<std::filesystem::path> case_files(const std::filesystem::path &folder)
{
  std::vector<std::filesystem::path> files;
  for (const auto &entry : std::filesystem::recursive_directory_iterator(folder))
    if (entry.path().extension() == ".toml")
      files.push_back(entry.path());
  std::sort(files.begin(), files.end());
  return files;
}

inline Case read(const std::filesystem::path &file)
{
  ReadOutcome outcome = read_case(file);
  for (const Diagnostic &error : outcome.errors)
    UNSCOPED_INFO(format(error));
  REQUIRE(outcome.read);
  return *outcome.read;
}

inline DrawResults run_to_the_end(const Case &bow_case)
{
  DrawResults results = run_draw(bow_case, {}, {}, nullptr);
  INFO(bow_case.name << ": " << results.failed_stage << ": " << results.reason);
  REQUIRE(results.complete);
  return results;
}

inline std::map<std::string, double> quantities(const Case &bow_case, const DrawResults &results)
{
  std::map<std::string, double> found;
  for (const SummaryQuantity &quantity : summary_quantities(bow_case, results))
    found[quantity.key] = quantity.value;
  return found;
}

/// A case of the tests' own.
inline Case twin(const std::string &name)
{
  return read(std::filesystem::path(LIMBWRIGHT_TEST_DATA) / ".." / "cases" / "twins" / (name + ".toml"));
}
} // namespace limbwright::checks
