#pragma once

#include "cases/reader/case.h"
#include "solver/stages/draw_path.h"

#include <filesystem>

namespace limbwright
{
/// One process's part of a draw under way.
struct RankShare
{
  int rank = 0, n_ranks = 1;
};

/// Writes what a draw has reached, so that it can be taken up again: every step's displacements by remaining unknown [m], string
/// tensions [N] and what the points of the limbs remember. The file has its name only when it is whole. HDF5. Throws CannotWrite.
void write_path_file(const std::filesystem::path &file, const Case &bow_case, const RankShare &share, const DrawPath &path);

/// Removes it and what is left of writing it. Never throws.
void remove_path_file(const std::filesystem::path &file);

/// Reads it back. Throws CannotResume where there is none, or it is damaged, of another case, of another number of processes or
/// of another version of the program. The number of steps and iterations and the tolerance may have changed.
DrawPath read_path_file(const std::filesystem::path &file, const Case &bow_case, const RankShare &share);
} // namespace limbwright
