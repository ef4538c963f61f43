#include "cases/reader/toml_view.h"

#include "cases/reader/nearest_name.h"

#include <fmt/format.h>

#include <algorithm>
#include <sstream>
#include <tuple>

namespace limbwright
{
namespace
{
constexpr std::size_t most_kept = 200;

void keep(std::vector<Diagnostic> &list, const std::string &file, const Place &place, std::string message)
{
  if (list.size() < most_kept)
    list.push_back({file, std::max(1, place.line), std::max(1, place.column), place.key, std::move(message)});
}

std::vector<Diagnostic> in_order(std::vector<Diagnostic> list)
{
  const auto place = [](const Diagnostic &d) { return std::tie(d.line, d.column); };
  std::stable_sort(list.begin(), list.end(), [&](const Diagnostic &a, const Diagnostic &b) { return place(a) < place(b); });
  // Unlike limbs share their glue, so its mistakes are found twice.
  const auto same = [](const Diagnostic &a, const Diagnostic &b)
  { return a.line == b.line && a.column == b.column && a.key == b.key && a.message == b.message; };
  list.erase(std::unique(list.begin(), list.end(), same), list.end());
  return list;
}

std::string child_path(const std::string &parent, std::string_view name)
{
  const bool plain =
      !name.empty() && name.size() <= 64 &&
      name.find_first_not_of("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_-") == std::string_view::npos;
  const std::string shown = plain ? std::string(name) : in_quotes(name);
  return parent.empty() ? shown : parent + "." + shown;
}

/// Place of the first spot nested or chained deeper than any case needs: the parser and the tables recurse, so depth costs
/// stack.
std::optional<Place> too_deep(const std::string &text)
{
  constexpr int most_brackets = 24, most_dots = 16;
  Place place{1, 0, {}};
  int brackets = 0, dots = 0;
  std::string closing; // of the string we are in
  for (std::size_t i = 0; i < text.size(); ++i)
  {
    const char c = text[i];
    if (c == '\n')
    {
      ++place.line;
      place.column = 0;
      if (closing.size() < 3)
        closing.clear();
      dots = 0;
      continue;
    }
    ++place.column;
    if (!closing.empty())
    {
      if (c == '\\' && closing[0] == '"')
        ++i;
      else if (text.compare(i, closing.size(), closing) == 0)
      {
        i += closing.size() - 1;
        closing.clear();
      }
      continue;
    }
    if (c == '#')
    {
      i = std::min(text.find('\n', i), text.size()) - 1;
      continue;
    }
    if (c == '"' || c == '\'')
    {
      const std::string triple(3, c);
      closing = text.compare(i, 3, triple) == 0 ? triple : std::string(1, c);
      i += closing.size() - 1;
    }
    else if (c == '[' || c == '{')
      ++brackets;
    else if (c == ']' || c == '}')
      brackets = std::max(0, brackets - 1);
    if (c == '.')
      ++dots;
    else if (c == ',' || c == '[' || c == ']' || c == '{' || c == '}' || c == '=')
      dots = 0;
    if (brackets > most_brackets || dots > most_dots)
      return place;
  }
  return std::nullopt;
}
} // namespace

void Complaints::error(const Place &place, std::string message)
{
  ++error_count;
  keep(error_list, file, place, std::move(message));
}

void Complaints::warning(const Place &place, std::string message)
{
  keep(warning_list, file, place, std::move(message));
}

std::vector<Diagnostic> Complaints::errors() const
{
  std::vector<Diagnostic> list = in_order(error_list);
  if (error_count > most_kept)
    list.push_back({file, 1, 1, "", fmt::format("and {} more errors", error_count - most_kept)});
  return list;
}

std::vector<Diagnostic> Complaints::warnings() const
{
  return in_order(warning_list);
}

TomlView::TomlView(const toml::node &node, std::string path, Complaints &complaints)
    : here(&node), key(std::move(path)), listener(&complaints)
{
}

Place TomlView::place() const
{
  const toml::source_position begin = here->source().begin;
  return {static_cast<int>(begin.line), static_cast<int>(begin.column), key};
}

Place TomlView::place_of(std::string_view name) const
{
  if (const toml::table *entries_here = table())
    for (const auto &[entry_key, value] : *entries_here)
      if (entry_key.str() == name)
      {
        const toml::source_position begin = entry_key.source().begin;
        return {static_cast<int>(begin.line), static_cast<int>(begin.column), child_path(key, name)};
      }
  Place place_here = place();
  place_here.key = child_path(key, name);
  return place_here;
}

std::optional<TomlView> TomlView::find(std::string_view name) const
{
  const toml::table *entries_here = table();
  const toml::node *value = entries_here == nullptr ? nullptr : entries_here->get(name);
  if (value == nullptr)
    return std::nullopt;
  return TomlView(*value, child_path(key, name), *listener);
}

std::vector<TomlView> TomlView::entries() const
{
  std::vector<TomlView> list;
  if (const toml::array *array = here->as_array())
    for (std::size_t i = 0; i < array->size(); ++i)
      list.emplace_back(*array->get(i), fmt::format("{}[{}]", key, i + 1), *listener);
  return list;
}

namespace
{
std::string line_of(const std::string &text, int number)
{
  std::istringstream lines(text);
  std::string line;
  for (int i = 0; i < number && std::getline(lines, line); ++i)
    continue;
  return line;
}

/// What a maker most likely has to do about a text that is not TOML.
std::string likely_cure(const std::string &text, int line_number, const std::string &message)
{
  const std::string line = line_of(text, line_number);
  const auto has = [](const std::string &in, const char *part) { return in.find(part) != std::string::npos; };
  for (const char *curly : {"\u201c", "\u201d", "\u201e", "\u2018", "\u2019"})
    if (has(line, curly))
      return "this line has curly quotes; type straight ones: \"";
  if (has(message, "redefine existing table"))
    return "tables that can repeat, such as laminations, each begin with [[ ]] instead of [ ]";
  if (has(message, "parsing string"))
    return "the closing quote is missing on this line";
  return "text and values with a unit go in quotes, table names in [ ]";
}
} // namespace

std::optional<toml::table> parse_toml(const std::string &text, Complaints &complaints)
{
  if (text.size() > largest_case)
  {
    complaints.error({1, 1, ""}, fmt::format("the file has {} bytes; a bow file has at most {}", text.size(), largest_case));
    return std::nullopt;
  }
  if (text.rfind("\xff\xfe", 0) == 0 || text.rfind("\xfe\xff", 0) == 0)
  {
    complaints.error({1, 1, ""}, "the file is UTF-16 text; save it as UTF-8 (in an editor: Save as, encoding UTF-8)");
    return std::nullopt;
  }
  if (const auto place = too_deep(text))
  {
    complaints.error(*place,
                     "tables or dotted keys are nested deeper than any bow file needs; is a bracket or a quote left open?");
    return std::nullopt;
  }
  try
  {
    return toml::parse(text);
  }
  catch (const toml::parse_error &failure)
  {
    const toml::source_position begin = failure.source().begin;
    std::string message(failure.description());
    if (message.size() > 300)
      message = message.substr(0, 300) + "...";
    complaints.error({std::max(1, static_cast<int>(begin.line)), std::max(1, static_cast<int>(begin.column)), ""},
                     fmt::format("not TOML: {} ({})", message, likely_cure(text, static_cast<int>(begin.line), message)));
  }
  return std::nullopt;
}

std::string kind_words(const toml::node &node)
{
  switch (node.type())
  {
  case toml::node_type::table:
    return "a table";
  case toml::node_type::array:
    return "a list";
  case toml::node_type::string:
    return "text";
  case toml::node_type::integer:
  case toml::node_type::floating_point:
    return "a plain number";
  case toml::node_type::boolean:
    return "true or false";
  default:
    return "a date or time";
  }
}
} // namespace limbwright
