#pragma once

#include <string>
#include <variant>
#include <vector>

namespace limbwright
{
/// One column: numbers, or words. Numbers that are not known are NaN; they are written as empty cells.
struct Column
{
  std::string name; //!< words joined by _
  std::string unit; //!< of the values as they stand here, for example "N/m"; empty for words and plain numbers
  std::variant<std::vector<double>, std::vector<std::string>> values;
};

/// Columns of equal length.
struct Table
{
  std::vector<Column> columns;
};

std::size_t n_rows(const Table &table);

/// The numbers of the column of that name; throws std::out_of_range when there is none.
const std::vector<double> &numbers(const Table &table, const std::string &name);

/// Comma-separated text. Heads are name_unit with "per" for the stroke: "stiffness_lb_per_in". Numbers have up to eight digits.
/// Words that a spreadsheet would take for a formula have an apostrophe before them.
std::string csv(const Table &table);

/// One column of numbers, taken from every element of a range.
template <class Range, class Function>
Column number_column(std::string name, std::string unit, const Range &range, Function value, double size_of_unit = 1.)
{
  std::vector<double> values;
  values.reserve(range.size());
  for (const auto &element : range)
    values.push_back(static_cast<double>(value(element)) / size_of_unit);
  return {std::move(name), std::move(unit), std::move(values)};
}

template <class Range, class Function>
Column word_column(std::string name, const Range &range, Function value)
{
  std::vector<std::string> values;
  values.reserve(range.size());
  for (const auto &element : range)
    values.push_back(value(element));
  return {std::move(name), "", std::move(values)};
}
} // namespace limbwright
