#include "cases/reader/keys.h"

#include "cases/reader/nearest_name.h"

#include <fmt/format.h>

#include <algorithm>

namespace limbwright
{
Key Key::needed() const
{
  Key copy = *this;
  copy.required = true;
  return copy;
}

Key Key::smooth_between_rows() const
{
  Key copy = *this;
  copy.smooth = true;
  return copy;
}

Key Key::by_default(std::string toml_text) const
{
  Key copy = *this;
  copy.fallback = std::move(toml_text);
  return copy;
}

Key quantity_key(std::string name, Dimension dimension, std::string lowest, std::string highest, std::string text,
                 std::vector<std::string> words)
{
  return {std::move(name),
          ValueKind::quantity,
          {{"", dimension, std::move(lowest), std::move(highest)}},
          std::move(words),
          std::move(text)};
}

Key table_key(std::string name, std::vector<Measure> measures, std::string text)
{
  return {std::move(name), ValueKind::table, std::move(measures), {}, std::move(text)};
}

Key property_key(std::string name, Dimension dimension, std::string lowest, std::string highest, std::string text)
{
  return {std::move(name), ValueKind::property, {{"", dimension, std::move(lowest), std::move(highest)}}, {}, std::move(text)};
}

Key choice_key(std::string name, std::vector<std::string> words, std::string text)
{
  return {std::move(name), ValueKind::choice, {}, std::move(words), std::move(text)};
}

Key plain_key(std::string name, ValueKind kind, std::string text)
{
  return {std::move(name), kind, {}, {}, std::move(text)};
}

Key whole_key(std::string name, std::string lowest, std::string highest, std::string text)
{
  return {
      std::move(name), ValueKind::whole, {{"", Dimension::ratio, std::move(lowest), std::move(highest)}}, {}, std::move(text)};
}

void complain_of_unknown_keys(const TomlView &table, const std::vector<std::string> &known)
{
  if (table.table() == nullptr)
    return;
  for (const auto &[key, value] : *table.table())
    if (std::find(known.begin(), known.end(), key.str()) == known.end())
      table.complaints().error(table.place_of(key.str()), fmt::format("unknown key; {}", name_advice(key.str(), known)));
}
} // namespace limbwright
