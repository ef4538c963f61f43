#pragma once

#include <filesystem>

namespace limbwright
{
class Communicator;

/// Writes `target`: the mesh of one file of laminations with its displacement, and for its displacement, strains, stresses along
/// grain axes and indices "change of ...", its values less those of the other file. All three without their .vtu; of several
/// processes each takes its own pieces. False, and nothing is written, where a file is missing or the two have not the same
/// cells. Throws CannotWriteFields.
bool write_field_change(const Communicator &ranks, const std::filesystem::path &with, const std::filesystem::path &without,
                        const std::filesystem::path &target);
} // namespace limbwright
