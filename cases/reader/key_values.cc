#include "cases/reader/keys.h"

#include "cases/reader/nearest_name.h"
#include "cases/reader/plain_text.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace limbwright
{
namespace
{
constexpr std::size_t most_rows = 2000;

constexpr std::array<std::pair<const char *, Provenance>, 5> provenance_words = {{{"table", Provenance::table},
                                                                                  {"measured", Provenance::measured},
                                                                                  {"derived", Provenance::derived},
                                                                                  {"estimate", Provenance::estimate},
                                                                                  {"memory", Provenance::memory}}};

std::string range_words(const Measure &measure)
{
  if (measure.lowest.empty() && measure.highest.empty())
    return "any value";
  if (measure.highest.empty())
    return fmt::format("at least {}", measure.lowest);
  if (measure.lowest.empty())
    return fmt::format("at most {}", measure.highest);
  return fmt::format("{} to {}", measure.lowest, measure.highest);
}

/// Complains and returns false when the value is outside of its range; `written` is what stands in the file.
bool within(double value, const Measure &measure, const TomlView &view, const std::string &written)
{
  constexpr double slack = 1e-9; // a limit itself is inside, whatever its unit's rounding
  const auto limit = [&](const std::string &text, double otherwise)
  { return text.empty() ? otherwise : parse_quantity(text, measure.dimension).value; };
  const double lowest = limit(measure.lowest, -1e300);
  const double highest = limit(measure.highest, 1e300);
  if (std::isfinite(value) && value >= lowest - slack * std::abs(lowest) && value <= highest + slack * std::abs(highest))
    return true;
  view.error(fmt::format("{} is out of range; allowed: {}", written, range_words(measure)));
  return false;
}

std::optional<double> bare_number(const toml::node &node)
{
  if (!node.is_number())
    return std::nullopt;
  return node.value<double>();
}

/// A number with its unit in a text, or a bare ratio.
std::optional<double> read_quantity(const TomlView &view, const Measure &measure, const std::vector<std::string> &words)
{
  if (const auto number = bare_number(view.node()))
  {
    if (measure.dimension == Dimension::ratio || measure.dimension == Dimension::any)
      return within(*number, measure, view, fmt::format("{}", *number)) ? number : std::nullopt;
    view.error(fmt::format("the plain number {} has no unit; write {} in quotes, units: {}", *number, words_of(measure.dimension),
                           units_of(measure.dimension)));
    return std::nullopt;
  }
  const auto text = view.node().value<std::string>();
  if (!view.node().is_string() || !text)
  {
    view.error(fmt::format("this must be {}, not {}; units: {}", words_of(measure.dimension), kind_words(view.node()),
                           units_of(measure.dimension)));
    return std::nullopt;
  }
  const Quantity quantity = parse_quantity(*text, measure.dimension);
  if (!quantity.error.empty())
  {
    view.error(words.empty() ? quantity.error
                             : fmt::format("{}; or one of these words: {}", quantity.error, fmt::join(words, ", ")));
    return std::nullopt;
  }
  return within(quantity.value, measure, view, in_quotes(*text)) ? std::optional<double>(quantity.value) : std::nullopt;
}

std::optional<double> read_head(const TomlView &view, const std::string &name, Dimension dimension)
{
  const auto head = view.find(name);
  if (!head)
  {
    view.error(fmt::format("the table gives no unit for \"{}\"; add, for example, {} = \"{}\"", name, name,
                           dimension == Dimension::angle ? "deg" : "in"));
    return std::nullopt;
  }
  const auto text = head->node().value<std::string>();
  if (!head->node().is_string() || !text)
  {
    head->error(fmt::format("this must be a unit in quotes, not {}", kind_words(head->node())));
    return std::nullopt;
  }
  const Quantity unit = parse_unit(*text, dimension);
  if (!unit.error.empty())
  {
    head->error(unit.error);
    return std::nullopt;
  }
  return unit.value;
}

/// The rows of a table of stations: two numbers each, stations ascending.
std::optional<StationTable> read_rows(const TomlView &rows, double station_unit, double value_unit, const Measure &measure,
                                      const std::string &value_unit_text)
{
  if (!rows.node().is_array())
  {
    rows.error(fmt::format("this must be a list of rows, [[s, {}], ...], not {}", measure.name, kind_words(rows.node())));
    return std::nullopt;
  }
  const std::vector<TomlView> list = rows.entries();
  if (list.empty() || list.size() > most_rows)
  {
    rows.error(fmt::format("a table has 1 to {} rows; this one has {}", most_rows, list.size()));
    return std::nullopt;
  }
  StationTable table;
  bool sound = true;
  for (const TomlView &row : list)
  {
    const std::vector<TomlView> cells = row.entries();
    if (cells.size() != 2 || !cells[0].node().is_number() || !cells[1].node().is_number())
    {
      row.error(fmt::format("a row is two plain numbers, [s, {}]; their units go at the head of the table", measure.name));
      sound = false;
      continue;
    }
    const double station = *bare_number(cells[0].node());
    const double value = *bare_number(cells[1].node());
    const double s = station * station_unit;
    if (!std::isfinite(s) || s < 0. || s > 10.)
    {
      cells[0].error(
          fmt::format("s = {} is out of range; distances run from 0 at center (the middle of the handle) to the tip", station));
      sound = false;
    }
    else if (!table.station.empty() && s <= table.station.back())
    {
      cells[0].error(fmt::format("rows must go from the handle toward the tip; s = {} is not beyond the row before it", station));
      sound = false;
    }
    if (!within(value * value_unit, measure, cells[1], fmt::format("{} {}", value, value_unit_text)))
      sound = false;
    table.station.push_back(s);
    table.value.push_back(value * value_unit);
  }
  return sound ? std::optional<StationTable>(table) : std::nullopt;
}

/// Whether a table runs smoothly between its rows.
std::optional<bool> read_smoothness(const TomlView &view, const Key &key)
{
  const auto stated = key.smooth ? view.find(between_rows) : std::nullopt;
  if (!stated)
    return key.smooth;
  const auto word = stated->node().value<std::string>();
  if (stated->node().is_string() && (word == "smooth" || word == "straight"))
    return word == "smooth";
  stated->error("must be \"smooth\", as by hand, or \"straight\" from row to row, as off a grinder");
  return std::nullopt;
}

std::optional<Value> read_table(const TomlView &view, const Key &key)
{
  Value value;
  if (!view.node().is_table())
  {
    const auto number = read_quantity(view, key.measures.front(), {});
    if (!number)
      return std::nullopt;
    value.table = StationTable::constant(*number);
    value.text = key.measures.front().name;
    return value;
  }
  std::vector<std::string> known = {"s", "rows"};
  if (key.smooth)
    known.emplace_back(between_rows);
  const Measure *measure = nullptr;
  for (const Measure &candidate : key.measures)
  {
    known.push_back(candidate.name);
    if (!view.find(candidate.name))
      continue;
    if (measure != nullptr)
      view.error(fmt::format("give either {} or {}, not both", measure->name, candidate.name));
    measure = &candidate;
  }
  complain_of_unknown_keys(view, known);
  if (measure == nullptr)
    measure = &key.measures.front();
  const auto station_unit = read_head(view, "s", Dimension::length);
  const auto value_unit = read_head(view, measure->name, measure->dimension);
  const auto rows = view.find("rows");
  if (!rows)
    view.error(fmt::format("the table has no rows; write for example {{s = \"in\", {} = \"{}\", rows = [[8, 1.4], [17, 1.3]]}}",
                           measure->name, measure->dimension == Dimension::angle ? "deg" : "in"));
  if (!station_unit || !value_unit || !rows)
    return std::nullopt;
  const auto smooth = read_smoothness(view, key);
  auto table = read_rows(*rows, *station_unit, *value_unit, *measure, *view.find(measure->name)->node().value<std::string>());
  if (!table || !smooth)
    return std::nullopt;
  table->smooth = *smooth;
  value.table = std::move(*table);
  value.text = measure->name;
  return value;
}

std::string text_of(const TomlView &view, bool &sound)
{
  const auto text = view.node().value<std::string>();
  if (!view.node().is_string() || !text)
  {
    view.error(fmt::format("this must be text in quotes, not {}", kind_words(view.node())));
    sound = false;
    return {};
  }
  if (first_control(*text, true) != std::string::npos)
  {
    view.error("contains a control character, which a terminal would obey instead of showing; take it out");
    sound = false;
  }
  return *text;
}

std::string name_of(const TomlView &view, const Key &key, bool &sound)
{
  std::string text = text_of(view, sound);
  if (sound && text.find_first_not_of(' ') == std::string::npos)
  {
    view.error(fmt::format("is empty; it must be: {}", key.text));
    sound = false;
  }
  else if (sound && first_control(text) != std::string::npos)
  {
    view.error("must be one line of text, without line breaks or tabs");
    sound = false;
  }
  return text;
}

std::optional<Value> read_whole(const TomlView &view, const Key &key)
{
  if (!view.node().is_integer())
  {
    view.error(
        fmt::format("this must be a whole number, not {}", view.node().is_number() ? "a fraction" : kind_words(view.node())));
    return std::nullopt;
  }
  const double number = *bare_number(view.node());
  if (!within(number, key.measures.front(), view, fmt::format("{}", number)))
    return std::nullopt;
  Value value;
  value.whole = static_cast<int>(number);
  return value;
}

std::optional<Value> read_names(const TomlView &view)
{
  Value value;
  bool sound = view.node().is_array();
  for (const TomlView &entry : view.entries())
    if (const auto name = entry.node().value<std::string>(); name && entry.node().is_string())
      value.names.push_back(*name);
    else
      sound = false;
  if (!sound || value.names.size() != 2)
  {
    view.error("this must be two lamination names, for example [\"belly glass\", \"belly-side maple\"]");
    return std::nullopt;
  }
  return value;
}

std::optional<Value> read_value(const TomlView &view, const Key &key)
{
  Value value;
  bool sound = true;
  switch (key.kind)
  {
  case ValueKind::quantity:
    if (const auto word = view.node().value<std::string>();
        word && view.node().is_string() && std::find(key.words.begin(), key.words.end(), *word) != key.words.end())
      value.text = *word;
    else if (const auto number = read_quantity(view, key.measures.front(), key.words))
      value.number = *number;
    else
      sound = false;
    break;
  case ValueKind::table:
    return read_table(view, key);
  case ValueKind::property:
    return read_property(view, key.measures.front());
  case ValueKind::text:
    value.text = text_of(view, sound);
    break;
  case ValueKind::name:
    value.text = name_of(view, key, sound);
    break;
  case ValueKind::choice:
    value.text = text_of(view, sound);
    if (sound && std::find(key.words.begin(), key.words.end(), value.text) == key.words.end())
    {
      view.error(fmt::format("{} is not one of the choices; {}", in_quotes(value.text), name_advice(value.text, key.words)));
      sound = false;
    }
    break;
  case ValueKind::whole:
    return read_whole(view, key);
  case ValueKind::names:
    return read_names(view);
  }
  return sound ? std::optional<Value>(value) : std::nullopt;
}
} // namespace

std::optional<Value> read_property(const TomlView &view, const Measure &measure)
{
  Value value;
  if (!view.node().is_table())
  {
    const auto number = read_quantity(view, measure, {});
    if (!number)
      return std::nullopt;
    value.number = *number;
    return value;
  }
  complain_of_unknown_keys(view, {"value", "provenance", "source", "conditions"});
  const auto written = view.find("value");
  if (!written)
  {
    view.error("the property has no value; write {value = \"...\", provenance = \"...\", source = \"...\"}");
    return std::nullopt;
  }
  const auto number = read_quantity(*written, measure, {});
  value.source = PropertySource{};
  bool sound = number.has_value();
  for (const auto &[name, text] :
       {std::pair{"source", &value.source->source}, std::pair{"conditions", &value.source->conditions}})
    if (const auto part = view.find(name))
      *text = text_of(*part, sound);
  if (const auto part = view.find("provenance"))
  {
    const std::string word = text_of(*part, sound);
    std::vector<std::string> known;
    bool found = false;
    for (const auto &[name, provenance] : provenance_words)
    {
      known.emplace_back(name);
      if (word == name)
      {
        value.source->provenance = provenance;
        found = true;
      }
    }
    if (!found && !word.empty())
      part->error(fmt::format("{} is not one of the choices; {}", in_quotes(word), name_advice(word, known)));
    sound = sound && found;
  }
  if (!sound)
    return std::nullopt;
  value.number = *number;
  return value;
}

std::optional<Value> read_key(const TomlView &table, const Key &key)
{
  if (const auto view = table.find(key.name))
    return read_value(*view, key);
  if (key.required)
    table.complaints().error(table.place_of(key.name), fmt::format("is missing: {}", key.text));
  if (key.required || key.fallback.empty())
    return std::nullopt;
  const toml::table document = toml::parse("value = " + key.fallback);
  return read_value(TomlView(*document.get("value"), table.place_of(key.name).key, table.complaints()), key);
}
} // namespace limbwright
