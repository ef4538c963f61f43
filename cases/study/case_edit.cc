#include "cases/study/case_edit.h"

#include "cases/reader/nearest_name.h"
#include "cases/reader/toml_view.h"
#include "cases/reader/units.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>

namespace limbwright
{
namespace
{
/// One step of a path: a key of a table, or an entry of a list by number or by the name it has.
struct Step
{
  std::string word;
  bool entry;
};
using Path = std::vector<Step>;

std::string trimmed(const std::string &text)
{
  const auto from = text.find_first_not_of(" \t"), to = text.find_last_not_of(" \t");
  return from == std::string::npos ? std::string{} : text.substr(from, to - from + 1);
}

Path steps_of(const std::string &text)
{
  Path path;
  std::string word;
  const auto finish = [&](bool entry)
  {
    if (!trimmed(word).empty())
      path.push_back({trimmed(word), entry});
    word.clear();
  };
  for (const char c : text)
    if (c == '.' || c == '[')
      finish(false);
    else if (c == ']')
      finish(true);
    else if (c != '"')
      word += c;
  finish(false);
  return path;
}

std::string words_of(const Path &path)
{
  std::string text;
  for (const Step &step : path)
    text += step.entry ? "[" + step.word + "]" : (text.empty() ? "" : ".") + step.word;
  return text;
}

const toml::node *entry_of(const toml::array &list, const std::string &word)
{
  std::size_t number = 0;
  if (const auto [end, fault] = std::from_chars(word.data(), word.data() + word.size(), number);
      fault == std::errc{} && end == word.data() + word.size())
    return number >= 1 ? list.get(number - 1) : nullptr;
  for (const toml::node &entry : list)
    if (const toml::table *table = entry.as_table(); table != nullptr && (*table)["name"].value<std::string>() == word)
      return &entry;
  return nullptr;
}

const toml::node *child(const toml::node *node, const Step &step)
{
  if (node == nullptr)
    return nullptr;
  if (step.entry)
    return node->is_array() ? entry_of(*node->as_array(), step.word) : nullptr;
  return node->is_table() ? node->as_table()->get(step.word) : nullptr;
}

/// The nodes along a path, the document first; as far as it goes.
std::vector<const toml::node *> follow(const toml::table &document, const Path &path)
{
  std::vector<const toml::node *> nodes{&document};
  for (const Step &step : path)
  {
    const toml::node *next = child(nodes.back(), step);
    if (next == nullptr)
      break;
    nodes.push_back(next);
  }
  return nodes;
}

/// The full paths that are meant: a lamination's name at the head stands for the laminations of that name.
std::vector<Path> meant(const toml::table &document, const Path &path)
{
  if (path.empty() || document.contains(path.front().word))
    return {path};
  std::vector<Path> found;
  for (const char *limb : {"limb", "upper", "lower"})
    if (const toml::array *list = document[limb]["lamination"].as_array())
      if (entry_of(*list, path.front().word) != nullptr)
      {
        found.push_back({{limb, false}, {"lamination", false}, {path.front().word, true}});
        found.back().insert(found.back().end(), path.begin() + 1, path.end());
      }
  return found.empty() ? std::vector<Path>{path} : found;
}

std::vector<Path> all_meant(const toml::table &document, const std::string &paths)
{
  std::vector<Path> all;
  for (std::size_t from = 0; from <= paths.size();)
  {
    const std::size_t to = std::min(paths.find('+', from), paths.size());
    for (Path &path : meant(document, steps_of(paths.substr(from, to - from))))
      all.push_back(std::move(path));
    from = to + 1;
  }
  return all;
}

/// Where a place that is told by line and letter stands in the text.
std::size_t offset_of(const std::string &text, const toml::source_position &place)
{
  std::size_t at = 0;
  for (toml::source_index line = 1; line < place.line; ++line)
    at = std::min(text.find('\n', at), text.size() - 1) + 1;
  for (toml::source_index letter = 1; letter < place.column && at < text.size(); ++letter)
    for (++at; at < text.size() && (static_cast<unsigned char>(text[at]) & 0xc0) == 0x80;) // within one letter of UTF-8
      ++at;
  return at;
}

bool is_toml_value(const std::string &text)
{
  try
  {
    return text.find('\n') == std::string::npos && toml::parse("value = " + text).size() == 1;
  }
  catch (const toml::parse_error &)
  {
    return false;
  }
}

std::string as_literal(const std::string &value)
{
  return is_toml_value(value) ? value : "\"" + value + "\"";
}

/// A cell's value in its column's unit, which stands in the table's head; the error where it has none.
std::string as_cell(const toml::table &head, bool station, const std::string &value, std::string &error)
{
  if (is_toml_value(value))
    return value;
  std::string column = "s";
  for (const auto &[key, node] : head)
    if (!station && key.str() != "s" && key.str() != "rows")
      column = std::string(key.str());
  const std::string unit = head[column].value_or(std::string{});
  for (const Dimension dimension : {Dimension::length, Dimension::angle, Dimension::ratio})
  {
    const Quantity size = parse_unit(unit, dimension), wanted = parse_quantity(value, dimension);
    if (size.error.empty() && wanted.error.empty())
      return fmt::format("{:.10g}", wanted.value / size.value);
  }
  error = fmt::format("'{}' is not a number in {}, the unit of that column", value, unit.empty() ? "the column's unit" : unit);
  return {};
}

std::string advice(const toml::node &node, const Step &missed)
{
  std::vector<std::string> known;
  if (const toml::table *table = node.as_table())
    for (const auto &[key, value] : *table)
      known.emplace_back(key.str());
  if (const toml::array *list = node.as_array())
    return fmt::format("the list has {} entries, counted from 1", list->size());
  return name_advice(missed.word, known);
}

EditedCase exchange(const std::string &text, const Path &path, const std::string &value)
{
  toml::table document;
  try
  {
    document = toml::parse(text);
  }
  catch (const toml::parse_error &failure)
  {
    return {{}, std::string("the bow file is not TOML: ") + std::string(failure.description())};
  }
  const auto nodes = follow(document, path);
  if (nodes.size() == path.size() + 1)
  {
    const toml::source_region &region = nodes.back()->source();
    const bool cell = path.size() >= 4 && path[path.size() - 2].entry && path.back().entry;
    std::string error;
    std::string literal = as_literal(value);
    if (nodes.back()->is_number() && cell && nodes[nodes.size() - 4]->is_table())
      literal = as_cell(*nodes[nodes.size() - 4]->as_table(), path.back().word == "1", value, error);
    if (nodes.back() == nodes.front() || (nodes.back()->is_table() && !nodes.back()->as_table()->is_inline()) ||
        nodes.back()->is_array_of_tables())
      error = fmt::format("{} is a whole table of the file, not one value", words_of(path));
    if (!error.empty())
      return {{}, error};
    const std::size_t from = offset_of(text, region.begin), to = offset_of(text, region.end);
    return {text.substr(0, from) + literal + text.substr(to), {}};
  }
  // A new key of a table that is there, under its head.
  const toml::table *table = nodes.back()->as_table();
  if (nodes.size() == path.size() && table != nullptr && !table->is_inline() && nodes.back() != nodes.front() &&
      !path.back().entry)
  {
    const std::size_t head = offset_of(text, table->source().begin);
    const std::size_t line_end = std::min(text.find('\n', head), text.size());
    return {text.substr(0, line_end) + fmt::format("\n{} = {}", path.back().word, as_literal(value)) + text.substr(line_end), {}};
  }
  // A new table at the end, for a key that needs one.
  const bool plain = std::none_of(path.begin(), path.end(), [](const Step &step) { return step.entry; });
  if (nodes.size() + 1 == path.size() && plain && nodes.back()->is_table() && !nodes.back()->as_table()->is_inline())
    return {text + fmt::format("\n[{}]\n{} = {}\n", words_of(Path(path.begin(), path.end() - 1)), path.back().word,
                               as_literal(value)),
            {}};
  const std::string where = words_of(Path(path.begin(), path.begin() + static_cast<std::ptrdiff_t>(nodes.size()) - 1));
  return {{},
          fmt::format("the bow file has no {}: {}{}", words_of(path), where.empty() ? "" : "in " + where + ", ",
                      advice(*nodes.back(), path[nodes.size() - 1]))};
}
} // namespace

EditedCase with_value(const std::string &case_text, const std::string &path, const std::string &value)
{
  EditedCase edited{case_text, {}};
  std::vector<Path> places;
  try
  {
    places = all_meant(toml::parse(case_text), path);
  }
  catch (const toml::parse_error &failure)
  {
    return {{}, std::string("the bow file is not TOML: ") + std::string(failure.description())};
  }
  for (const Path &place : places)
    if (place.empty())
      return {{}, fmt::format("'{}' names no key", path)};
    else if (edited = exchange(edited.text, place, trimmed(value)); !edited.error.empty())
      return edited;
  return edited;
}

std::string written_at(const std::string &case_text, const std::string &path)
{
  try
  {
    const toml::table document = toml::parse(case_text);
    const auto places = all_meant(document, path);
    const auto nodes = follow(document, places.front());
    if (nodes.size() != places.front().size() + 1)
      return {};
    const std::size_t from = offset_of(case_text, nodes.back()->source().begin);
    return case_text.substr(from, offset_of(case_text, nodes.back()->source().end) - from);
  }
  catch (const toml::parse_error &)
  {
    return {};
  }
}
} // namespace limbwright
