#pragma once

#include <filesystem>

namespace limbwright
{
/// Writes `target`: the mesh of one .vtu file of laminations with its displacement, and for its displacement, strains, stresses
/// along grain axes and indices "change of ...", its values less those of the other file. False, and nothing is written, where a
/// file is missing or the two have not the same cells. Throws CannotWriteFields.
bool write_field_change(const std::filesystem::path &with, const std::filesystem::path &without,
                        const std::filesystem::path &target);
} // namespace limbwright
