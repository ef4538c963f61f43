#pragma once

#include "cases/reader/case.h"
#include "cases/report/path_file.h"

#include <chrono>
#include <filesystem>
#include <optional>

namespace limbwright
{
/// What a draw leaves beside its results folder while it is under way, "NAME.begun.h5", so that it can be resumed when it is
/// broken off; each process of several its own, "NAME.begun.1.h5". Quick draws leave nothing unless they fail.
class KeptPath
{
public:
  /// Reads what an earlier draw left where it is to be resumed. Throws CannotResume.
  KeptPath(const std::filesystem::path &results_folder, const Case &bow_case, bool resume);

  /// For the run; this object must outlive it.
  PathKeeping keeping();
  /// Words on how to go on, where something was left.
  std::string how_to_go_on() const;
  /// The draw came to its end: nothing is left to resume.
  void clear();

private:
  const Case &bow_case;
  RankShare share;
  std::filesystem::path file;
  std::optional<DrawPath> begun;
  bool kept = false;
  std::chrono::steady_clock::time_point last = std::chrono::steady_clock::now();
};
} // namespace limbwright
