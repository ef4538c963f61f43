#pragma once

#include "cases/reader/case_reader.h"

#include <toml++/toml.h>

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace limbwright
{
struct Place
{
  int line = 0;
  int column = 0;
  std::string key;
};

/// Collects what is wrong with one file.
class Complaints
{
public:
  explicit Complaints(std::string file_name) : file(std::move(file_name)) {}

  void error(const Place &place, std::string message);
  void warning(const Place &place, std::string message);

  std::size_t n_errors() const { return error_count; }
  /// In the order of the file; of very many only the first are kept.
  std::vector<Diagnostic> errors() const;
  std::vector<Diagnostic> warnings() const;

private:
  std::string file;
  std::size_t error_count = 0;
  std::vector<Diagnostic> error_list, warning_list;
};

/// A value of a TOML document that knows where it stands and to whom to complain.
class TomlView
{
public:
  TomlView(const toml::node &node, std::string path, Complaints &complaints);

  const toml::node &node() const { return *here; }
  const std::string &path() const { return key; }
  Complaints &complaints() const { return *listener; }
  Place place() const;
  /// Place of a key that may be absent: its own where it is there, otherwise this table's.
  Place place_of(std::string_view name) const;

  void error(std::string message) const { listener->error(place(), std::move(message)); }
  void warning(std::string message) const { listener->warning(place(), std::move(message)); }

  const toml::table *table() const { return here->as_table(); }
  std::optional<TomlView> find(std::string_view name) const;
  /// Entries of an array, numbered from 1 in their paths.
  std::vector<TomlView> entries() const;

private:
  const toml::node *here;
  std::string key;
  Complaints *listener;
};

/// Bytes of the largest case file.
inline constexpr std::size_t largest_case = 1 << 20;

/// Parses the text; a syntax error, or nesting and size beyond sense, is complained about.
std::optional<toml::table> parse_toml(const std::string &text, Complaints &complaints);

/// "a number", "a text": what kind of value stands there.
std::string kind_words(const toml::node &node);
} // namespace limbwright
