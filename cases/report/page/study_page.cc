#include "cases/report/page/study_page.h"

#include "cases/report/page/page_parts.h"
#include "cases/report/page/write_page.h"
#include "cases/report/text_file.h"
#include "cases/report/versions.h"

#include <cmath>

namespace limbwright
{
std::string study_data(const StudyTable &table)
{
  PageJson study = {{"title", table.title}, {"about", table.about},       {"varied", table.varied},
                    {"rows", table.rows},   {"failures", table.failures}, {"columns", PageJson::array()}};
  PageJson units = page_units();
  for (std::size_t i = 0; i < table.columns.size(); ++i)
  {
    const StudyTable::Column &column = table.columns[i];
    const std::string kind = "column " + std::to_string(i);
    for (const Units system : {Units::trade, Units::metric})
      units[kind][system == Units::trade ? "trade" : "metric"] = {
          {"name", column.unit.name(system)}, {"size", column.unit.size(system)}, {"decimals", column.unit.decimals(system)}};
    PageJson values = PageJson::array();
    for (const double value : column.values)
      values.push_back(std::isfinite(value) ? PageJson(value) : PageJson());
    study["columns"].push_back({{"name", column.name}, {"group", column.group}, {"kind", kind}, {"values", std::move(values)}});
  }
  const PageJson json = {
      {"program", "limbwright " + program_version()}, {"units", std::move(units)}, {"study", std::move(study)}};
  return json.dump(-1, ' ', false, PageJson::error_handler_t::replace);
}

void write_study_page(const std::filesystem::path &file, const StudyTable &table)
{
  write_text_file(file, whole_page(table.title, study_data(table)));
}
} // namespace limbwright
