#pragma once

#include "cases/report/comparison.h"

#include <filesystem>
#include <string>
#include <vector>

namespace limbwright
{
/// A picture to be shown in the page.
struct PagePicture
{
  std::string title;
  std::string alt;            //!< what it shows, for those who do not see it
  std::filesystem::path file; //!< .png
};

/// Everything the page of a run shows, as one JSON text: texts and figures told in both systems of units, series in SI. Numbers
/// that are not known are null.
std::string page_data(const StoredRun &run, const std::vector<PagePicture> &pictures = {});

/// The same for several runs side by side.
std::string comparison_data(const std::vector<ComparedRun> &runs);
} // namespace limbwright
