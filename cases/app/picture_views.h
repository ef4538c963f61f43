#pragma once

#include "cases/app/picture_data.h"

namespace limbwright::picture
{
/// The limb unstrung, braced and at full draw to one scale, coloured by the strain along the grain. Throws std::runtime_error.
void draw_bow_picture(const ResultsData &data, const std::filesystem::path &file);

/// The same, coloured by the greatest index, with failure marked. Throws std::runtime_error.
void draw_index_picture(const ResultsData &data, const std::filesystem::path &file);

/// Shear of every glue line along the limb at the last draw reached. Throws std::runtime_error.
void draw_glue_picture(const ResultsData &data, const std::filesystem::path &file);
} // namespace limbwright::picture
