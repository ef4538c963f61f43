#include "cases/report/table.h"

#include <fmt/core.h>

#include <cmath>
#include <cstdlib>
#include <stdexcept>

namespace limbwright
{
namespace
{
std::string head(const Column &column)
{
  if (column.unit.empty())
    return column.name;
  std::string unit;
  for (const char letter : column.unit)
    unit += letter == '/' ? std::string("_per_") : letter == '%' ? std::string("percent") : std::string(1, letter);
  return column.name + "_" + unit;
}

bool is_number(const std::string &text)
{
  char *end = nullptr;
  std::strtod(text.c_str(), &end);
  return end != text.c_str() && *end == '\0';
}

/// A spreadsheet takes a text that begins so for a formula; an apostrophe before it makes it a text again.
std::string harmless_in_sheets(const std::string &text)
{
  return !text.empty() && std::string("=+-@\t\r").find(text.front()) != std::string::npos && !is_number(text) ? "'" + text : text;
}

std::string quoted(const std::string &words)
{
  const std::string text = harmless_in_sheets(words);
  if (text.find_first_of(",\"\n\r") == std::string::npos)
    return text;
  std::string result = "\"";
  for (const char letter : text)
    result += letter == '"' ? std::string("\"\"") : std::string(1, letter);
  return result + "\"";
}

std::string cell(const Column &column, std::size_t row)
{
  if (const auto *words = std::get_if<std::vector<std::string>>(&column.values))
    return quoted((*words)[row]);
  const double value = std::get<std::vector<double>>(column.values)[row];
  return std::isfinite(value) ? fmt::format("{:.8g}", value) : std::string();
}
} // namespace

std::size_t n_rows(const Table &table)
{
  if (table.columns.empty())
    return 0;
  return std::visit([](const auto &values) { return values.size(); }, table.columns.front().values);
}

const std::vector<double> &numbers(const Table &table, const std::string &name)
{
  for (const auto &column : table.columns)
    if (column.name == name)
      return std::get<std::vector<double>>(column.values);
  throw std::out_of_range("no column '" + name + "'");
}

std::string csv(const Table &table)
{
  std::string text;
  for (std::size_t i = 0; i < table.columns.size(); ++i)
    text += (i == 0 ? "" : ",") + quoted(head(table.columns[i]));
  text += "\n";
  for (std::size_t row = 0; row < n_rows(table); ++row)
  {
    for (std::size_t i = 0; i < table.columns.size(); ++i)
      text += (i == 0 ? "" : ",") + cell(table.columns[i], row);
    text += "\n";
  }
  return text;
}
} // namespace limbwright
