#pragma once

#include "cases/reader/toml_view.h"
#include "cases/reader/units.h"
#include "materials/material.h"
#include "meshing/shape/station_table.h"

#include <limits>
#include <optional>
#include <string>
#include <vector>

namespace limbwright
{
enum class ValueKind
{
  quantity, //!< number with unit in a text, or one of the key's words
  table,    //!< a constant as above, or {s = "in", <name> = "in", rows = [[s, value], ...]}
  property, //!< a quantity, or {value, provenance, source, conditions}
  text,
  name,   //!< a text of one line that is not empty
  choice, //!< one of the key's words
  whole,  //!< a whole number
  names   //!< a list of two names
};

/// The entry of a table that says how it runs between its rows.
inline constexpr const char *between_rows = "between_rows";

/// What a number measures and between which values it makes sense; limits as one would write them, none when empty.
struct Measure
{
  std::string name; //!< of a table's second column
  Dimension dimension = Dimension::ratio;
  std::string lowest, highest;
};

/// The one declaration of a key: the reader, the key reference and the resolved case are all made from it.
struct Key
{
  std::string name;
  ValueKind kind = ValueKind::text;
  std::vector<Measure> measures;  //!< several: a table's second column may be any of them
  std::vector<std::string> words; //!< taken in place of a number; all that is taken by a choice
  std::string text;               //!< for the key reference
  bool required = false;
  std::string fallback{}; //!< default as TOML text; empty: none
  bool smooth = false;    //!< the rows of a table are joined smoothly unless its between_rows says "straight"

  Key needed() const;
  Key smooth_between_rows() const;
  Key by_default(std::string toml_text) const;
};

Key quantity_key(std::string name, Dimension dimension, std::string lowest, std::string highest, std::string text,
                 std::vector<std::string> words = {});
Key table_key(std::string name, std::vector<Measure> measures, std::string text);
Key property_key(std::string name, Dimension dimension, std::string lowest, std::string highest, std::string text);
Key choice_key(std::string name, std::vector<std::string> words, std::string text);
Key plain_key(std::string name, ValueKind kind, std::string text);
Key whole_key(std::string name, std::string lowest, std::string highest, std::string text);

/// What was read for a key, SI inside.
struct Value
{
  double number = std::numeric_limits<double>::quiet_NaN();
  int whole = 0;
  std::string text; //!< also the word that stood in place of a number, or the name of a table's second column
  std::vector<std::string> names;
  StationTable table;
  std::optional<PropertySource> source;
};

/// Reads one key of a table; complains about what is wrong with it. Nothing when it is absent without a default, or wrong.
std::optional<Value> read_key(const TomlView &table, const Key &key);

/// Reads a value that stands on its own as a property: a quantity in a text, a bare ratio, or a table with its source.
std::optional<Value> read_property(const TomlView &view, const Measure &measure);

void complain_of_unknown_keys(const TomlView &table, const std::vector<std::string> &known);

/// A table of the case file without the type it is read into.
struct SectionKeys
{
  std::string path;
  std::string text;
  std::vector<Key> keys;
};

/// A key and where its value goes.
template <class T>
struct Field
{
  Key key;
  void (*put)(T &into, const Value &value);
  double (*get)(const T &from) = nullptr; //!< of properties only, SI
};

/// A table of the case file, its keys and the struct they fill.
template <class T>
struct Section
{
  std::string path; //!< as the key reference shows it
  std::string text;
  std::vector<Field<T>> fields;
  std::vector<std::string> parts{}; //!< tables within it, read by themselves

  SectionKeys keys() const
  {
    SectionKeys all{path, text, {}};
    for (const Field<T> &field : fields)
      all.keys.push_back(field.key);
    return all;
  }
};

template <class T>
void read_section(const TomlView &view, const Section<T> &section, T &into)
{
  if (view.table() == nullptr)
  {
    view.error("this must be a table, not " + kind_words(view.node()));
    return;
  }
  std::vector<std::string> known = section.parts;
  for (const Field<T> &field : section.fields)
    known.push_back(field.key.name);
  complain_of_unknown_keys(view, known);
  for (const Field<T> &field : section.fields)
    if (const std::optional<Value> value = read_key(view, field.key))
      field.put(into, *value);
}

/// The same for a table that may be absent: its defaults are read then, and needed keys are missed.
template <class T>
void read_section_of(const TomlView &parent, const std::string &name, const Section<T> &section, T &into)
{
  if (const std::optional<TomlView> view = parent.find(name))
  {
    read_section(*view, section, into);
    return;
  }
  static const toml::table nothing;
  const Place place = parent.place_of(name);
  std::string needed;
  for (const Field<T> &field : section.fields)
  {
    if (field.key.required)
      needed += (needed.empty() ? "" : ", ") + field.key.name;
    else if (const std::optional<Value> value = read_key(TomlView(nothing, place.key, parent.complaints()), field.key))
      field.put(into, *value);
  }
  if (!needed.empty())
    parent.complaints().error(place, "the table is missing; it needs " + needed);
}
} // namespace limbwright
