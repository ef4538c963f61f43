#pragma once

#include "cases/report/page/page_data.h"

namespace limbwright
{
/// Name of the folder below the results folder that holds the pictures.
inline constexpr const char *pictures_folder = "pictures";

/// The pictures of the picture program that lie in a results folder, with what they show.
std::vector<PagePicture> pictures_in(const std::filesystem::path &results_folder);
} // namespace limbwright
