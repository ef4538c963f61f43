#pragma once

#include "cases/report/page/page_data.h"

#include <filesystem>

namespace limbwright
{
/// Name of the page in a results folder.
inline constexpr const char *page_file_name = "report.html";

/// A page that needs nothing but itself: the embedded template with style, data and scripts put in.
std::string whole_page(const std::string &title, const std::string &data);

/// Makes report.html in a results folder from its results.h5, with the pictures that lie in its folder of pictures. Throws
/// CannotWrite, and std::runtime_error where the results cannot be read.
void write_page(const std::filesystem::path &folder);
/// The same of a run that was read already.
void write_page(const std::filesystem::path &folder, const StoredRun &run);

/// Makes the page of several runs side by side. Throws CannotWrite.
void write_comparison_page(const std::filesystem::path &file, const std::vector<ComparedRun> &runs);
} // namespace limbwright
