#include "cases/study/variation.h"

#include "cases/reader/case_reader.h"
#include "cases/reader/units.h"
#include "cases/study/case_edit.h"

#include <fmt/format.h>

#include <cmath>
#include <stdexcept>

namespace limbwright
{
namespace
{
constexpr std::size_t most_values = 200;

std::string trimmed(const std::string &text)
{
  const auto from = text.find_first_not_of(" \t"), to = text.find_last_not_of(" \t");
  return from == std::string::npos ? std::string{} : text.substr(from, to - from + 1);
}

/// At commas that stand outside of brackets and quotes.
std::vector<std::string> split_list(const std::string &text)
{
  std::vector<std::string> parts{""};
  int depth = 0;
  bool quoted = false;
  for (const char c : text)
  {
    quoted = quoted != (c == '"');
    depth += c == '[' || c == '{' ? 1 : c == ']' || c == '}' ? -1 : 0;
    if (c == ',' && depth == 0 && !quoted)
      parts.emplace_back();
    else
      parts.back() += c;
  }
  for (std::string &part : parts)
    part = trimmed(part);
  return parts;
}

/// A number and what follows it: "0.30 in".
struct Told
{
  double number = not_known;
  std::string unit;
};

Told told_number(const std::string &text)
{
  std::size_t used = 0;
  try
  {
    const double number = std::stod(text, &used);
    return {number, trimmed(text.substr(used))};
  }
  catch (const std::exception &)
  {
    return {};
  }
}

std::vector<std::string> range_of(const std::string &text, std::string &error)
{
  const auto to = text.find(" to "), by = text.find(" by ");
  const Told first = told_number(trimmed(text.substr(0, to))), last = told_number(trimmed(text.substr(to + 4, by - to - 4))),
             step = told_number(trimmed(text.substr(by + 4)));
  const double n = std::floor((last.number - first.number) / step.number + 1e-9);
  if (!std::isfinite(n) || n < 0. || n >= static_cast<double>(most_values) || last.unit != step.unit ||
      (!first.unit.empty() && first.unit != last.unit))
  {
    error = fmt::format("'{}' is not a range; write for example \"0.30 in to 0.60 in by 0.05 in\", in one unit", text);
    return {};
  }
  std::vector<std::string> values;
  for (int i = 0; i <= static_cast<int>(n); ++i)
    values.push_back(trimmed(fmt::format("{:.10g} {}", first.number + i * step.number, last.unit)));
  return values;
}
} // namespace

VariedKey parse_varied_key(const std::string &text, std::string &error)
{
  VariedKey key;
  const auto equals = text.find('=');
  key.path = trimmed(text.substr(0, equals));
  const std::string list = equals == std::string::npos ? std::string{} : trimmed(text.substr(equals + 1));
  if (key.path.empty() || list.empty())
    error = fmt::format("'{}': write KEY = VALUE, VALUE, ... or KEY = FROM to TO by STEP", text);
  else if (list.find(" to ") != std::string::npos && list.find(" by ") > list.find(" to ") &&
           list.find(" by ") != std::string::npos && list.find(',') == std::string::npos)
    key.values = range_of(list, error);
  else
    key.values = split_list(list);
  return key;
}

std::vector<std::vector<std::string>> combinations(const std::vector<VariedKey> &keys)
{
  std::vector<std::vector<std::string>> all{{}};
  for (const VariedKey &key : keys)
  {
    std::vector<std::vector<std::string>> longer;
    for (const auto &values : all)
      for (const std::string &value : key.values)
      {
        longer.push_back(values);
        longer.back().push_back(value);
      }
    all = std::move(longer);
  }
  return all;
}

VariedBow vary_one(const std::string &case_text, const std::string &file_name, const Variation &variation,
                   const std::vector<std::string> &values, const std::atomic<bool> *stop)
{
  VariedBow bow;
  bow.values = values;
  std::string text = case_text;
  for (std::size_t i = 0; i < values.size(); ++i)
  {
    const EditedCase edited = with_value(text, variation.keys[i].path, values[i]);
    if (!edited.error.empty())
    {
      bow.failure = edited.error;
      return bow;
    }
    text = edited.text;
  }
  const ReadOutcome outcome = read_case_text(text, file_name);
  if (!outcome.read)
  {
    bow.failure = outcome.errors.empty() ? "the bow file cannot be read"
                                         : outcome.errors.front().key + ": " + outcome.errors.front().message;
    return bow;
  }
  Case varied = *outcome.read;
  if (!variation.by.empty())
  {
    const auto what = resizing(varied, variation.by, bow.failure);
    if (!what)
      return bow;
    Sizing sizing = size_bow(varied, *what, variation.weight, {}, stop);
    bow.solutions = static_cast<int>(sizing.trials.size());
    if (!sizing.reached)
    {
      bow.failure = "the weight cannot be reached: " + sizing.reason;
      return bow;
    }
    bow.amount = sizing.amount;
    varied = std::move(sizing.sized);
  }
  try
  {
    const DrawResults results = draw_quickly(varied, true, stop);
    ++bow.solutions;
    if (results.complete)
      bow.figures = figures_of(varied, results);
    else
      bow.failure = results.failed_stage + ": " + results.reason;
  }
  catch (const std::runtime_error &failure)
  {
    bow.failure = failure.what();
  }
  catch (const std::invalid_argument &failure)
  {
    bow.failure = failure.what();
  }
  return bow;
}
} // namespace limbwright
