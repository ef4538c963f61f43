#pragma once

#include <filesystem>

namespace limbwright
{
/// A results folder in the making. It is written beside its final name, as ".NAME.unfinished", and takes its place only when
/// whole, so a run that fails or is interrupted leaves the earlier results untouched. One run at a time may write to a name.
///
/// The swap is a single exchange where the file system has it. Elsewhere the earlier folder first moves aside to
/// ".NAME.previous"; if the program dies just then, the next start puts it back.
class ResultsFolder
{
public:
  enum class Swap
  {
    exchange_if_possible,
    move_aside
  };

  /// Makes the unfinished folder, and its parents. Clears up after runs that were cut short. Throws CannotWrite when the target
  /// is a file, or a folder that is neither empty nor one of ours alone, when another run is writing it, or when nothing can be
  /// written there.
  explicit ResultsFolder(const std::filesystem::path &target);
  ~ResultsFolder(); //!< removes what is unfinished
  ResultsFolder(const ResultsFolder &) = delete;
  ResultsFolder &operator=(const ResultsFolder &) = delete;

  const std::filesystem::path &target() const { return final_place; }
  /// Where what will stand at a target is written until then.
  static std::filesystem::path place_of(const std::filesystem::path &target);
  /// Where to write.
  const std::filesystem::path &place() const { return unfinished; }
  bool replaces_earlier() const { return earlier; }

  /// Has everything on the disk. Throws CannotWrite.
  void flush() const;

  /// The same, and puts the folder in its place. Throws CannotWrite; then the earlier results are as they were.
  void swap_in(Swap how = Swap::exchange_if_possible);

private:
  std::filesystem::path final_place;
  std::filesystem::path unfinished;
  std::filesystem::path aside;
  bool earlier = false;
  int lock = -1; // descriptor of the unfinished folder

  void put_back_or_clear();
  void make_unfinished();
};

/// True when the folder's manifest.json is of this program.
bool is_results_folder(const std::filesystem::path &folder);
} // namespace limbwright
