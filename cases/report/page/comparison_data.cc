#include "cases/report/page/page_data.h"

#include "cases/report/page/page_parts.h"
#include "cases/report/verdict.h"
#include "cases/report/versions.h"
#include "cases/report/words.h"

#include <cmath>

namespace limbwright
{
namespace
{
/// Force and rise go with the width.
void widen(PageJson &curve, double factor)
{
  for (const char *part : {"drawn", "past"})
    for (const char *column : {"force", "rise"})
      for (auto &value : curve[part][column])
        value = value.get<double>() * factor;
}

PageJson quantity_rows(const std::vector<ComparedRun> &runs)
{
  PageJson rows = PageJson::array();
  for (const auto &quantity : compared_quantities(runs))
  {
    PageJson row = {{"name", quantity.name}, {"values", PageJson::array()}, {"differences", PageJson::array()}};
    for (const double value : quantity.values)
    {
      row["values"].push_back(in_both([&](Units units) { return told(value, *quantity.unit, units); }));
      row["differences"].push_back(
          in_both([&](Units units) { return difference_told(value - quantity.values.front(), *quantity.unit, units); }));
    }
    rows.push_back(std::move(row));
  }
  return rows;
}
} // namespace

std::string comparison_data(const std::vector<ComparedRun> &runs)
{
  PageJson json = {{"program", "limbwright " + program_version()}, {"units", page_units()}, {"runs", PageJson::array()}};
  for (const auto &compared : runs)
  {
    const auto &[bow_case, results] = compared.run;
    const Verdict verdict = verdict_of(bow_case, results);
    PageJson run = {
        {"name", compared.name},
        {"title", bow_case.title.empty() ? bow_case.name : bow_case.title},
        {"convention", convention_words(bow_case.convention)},
        {"verdict", level_words(verdict.level)},
        {"level", static_cast<int>(verdict.level)},
        {"text", in_both([&drawn = bow_case, &of = results](Units units) { return verdict_sentence(drawn, of, units); })}};
    run["curve"] = draw_curve_part(compared.run);
    widen(run["curve"], compared.width_factor);
    run["shapes"] = shapes_part(compared.run);
    run["limbs"] = limbs_part(compared.run);
    json["runs"].push_back(std::move(run));
  }
  json["quantities"] = quantity_rows(runs);
  json["equal_weight"] = in_both([&](Units units) { return equal_weight_words(runs, units); });
  return json.dump(-1, ' ', false, PageJson::error_handler_t::replace);
}
} // namespace limbwright
