#pragma once

#include "cases/report/told_units.h"

#include <filesystem>
#include <string>
#include <vector>

namespace limbwright
{
/// Figures of several bows of one study, a row for each bow.
struct StudyTable
{
  struct Column
  {
    std::string name;
    std::string group; //!< columns of one group share a chart; empty: not charted
    ToldUnit unit;
    std::vector<double> values{}; //!< SI, one for each row; not known: NaN
  };
  std::string title;
  std::string about;  //!< how the bows were made alike
  std::string varied; //!< what the rows differ in
  std::vector<std::string> rows;
  std::vector<std::string> failures; //!< of rows without figures, why; else empty
  std::vector<Column> columns;
};

/// What the page shows, as one JSON text.
std::string study_data(const StudyTable &table);

/// Makes the page: table and charts. Throws CannotWrite.
void write_study_page(const std::filesystem::path &file, const StudyTable &table);
} // namespace limbwright
