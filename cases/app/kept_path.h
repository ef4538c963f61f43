#pragma once

#include "cases/reader/case.h"
#include "cases/report/path_file.h"

#include <chrono>
#include <filesystem>
#include <optional>

namespace limbwright
{
/// What a draw leaves beside its results folder while it is under way, "NAME.begun.h5", so that it can be resumed when it is
/// broken off; each process of several its own, "NAME.begun.1.h5". It is on the disk from the first half second on and
/// hardly older than that and one step. A draw that takes less leaves nothing unless it is stopped or fails.
class KeptPath
{
public:
  /// Reads what an earlier draw left where it is to be resumed. Throws CannotResume.
  KeptPath(const std::filesystem::path &results_folder, const Case &bow_case, bool resume);

  const std::filesystem::path &file() const { return place; }
  /// For the run; this object must outlive it.
  PathKeeping keeping();
  /// The draw is stopped or has failed: what is not on the disk yet is written. Words on how to go on, where there is something.
  /// Never throws.
  std::string how_to_go_on();
  /// The last call, by all processes of a draw alike: where it came to its end on each, nothing is left to resume.
  void end(bool complete);

private:
  const Case &bow_case;
  RankShare share;
  std::filesystem::path place;
  std::optional<DrawPath> begun;
  std::optional<DrawPath> waiting; // newer than what is on the disk
  std::size_t n_steps_kept = 0;    // on the disk
  bool kept = false;
  using Clock = std::chrono::steady_clock;
  Clock::time_point last = Clock::now();
  Clock::duration pause = std::chrono::milliseconds(500);

  void write(const DrawPath &path);
};
} // namespace limbwright
