#pragma once

#include <filesystem>

namespace limbwright
{
/// Has the picture program, which lies beside this one, draw the results of a folder into its folder of pictures; without a
/// display under xvfb-run. It is a process of its own, for VTK ends a program that has no display: where it fails that is told on
/// standard error, half-made pictures are removed, and nothing else comes of it. True when it did not.
bool make_pictures(const std::filesystem::path &results_folder);
} // namespace limbwright
