#include "cases/reader/write_case.h"

#include "cases/reader/bow_keys.h"
#include "cases/reader/cut_reader.h"
#include "cases/reader/material_library.h"
#include "cases/reader/material_reader.h"
#include "cases/reader/measured_reader.h"
#include "cases/reader/weak_reader.h"

#include <fmt/format.h>

#include <cmath>
#include <utility>

namespace limbwright
{
namespace
{
std::string text_literal(const std::string &text)
{
  std::string out = "\"";
  for (const char c : text)
    if (c == '"' || c == '\\')
      out += std::string("\\") + c;
    else if (c == '\n')
      out += "\\n";
    else if (c == '\t')
      out += "\\t";
    else if (static_cast<unsigned char>(c) < 0x20 || c == 0x7f)
      out += fmt::format("\\u{:04x}", static_cast<unsigned>(static_cast<unsigned char>(c)));
    else
      out += c;
  return out + "\"";
}

/// A key as it may stand in a table's head.
std::string key_literal(const std::string &name)
{
  const bool bare = !name.empty() && name.find_first_not_of("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_-") ==
                                         std::string::npos;
  return bare ? name : text_literal(name);
}

/// A value as the author wrote it, on one line.
std::string literal(const toml::node &node)
{
  if (const auto text = node.value_exact<std::string>())
    return text_literal(*text);
  if (const auto flag = node.value_exact<bool>())
    return *flag ? "true" : "false";
  if (const auto whole = node.value_exact<std::int64_t>())
    return fmt::format("{}", *whole);
  if (const auto number = node.value_exact<double>())
  {
    const std::string digits = fmt::format("{}", *number); // the shortest that reads back the same
    return digits.find_first_of(".e") == std::string::npos ? digits + ".0" : digits;
  }
  std::string out;
  if (const toml::array *array = node.as_array())
  {
    for (const toml::node &entry : *array)
      out += (out.empty() ? "" : ", ") + literal(entry);
    return "[" + out + "]";
  }
  const toml::table *table = node.as_table();
  if (table == nullptr)
    return "\"\""; // dates and times, which no key takes
  // The units of a table of stations come before its rows, as one writes them.
  const auto add = [&out](std::string_view name, const toml::node &value)
  { out += fmt::format("{}{} = {}", out.empty() ? "" : ", ", key_literal(std::string(name)), literal(value)); };
  if (const toml::node *head = table->get("s"))
    add("s", *head);
  for (const auto &[key, value] : *table)
    if (key.str() != "s" && key.str() != "rows")
      add(key.str(), value);
  if (const toml::node *rows = table->get("rows"))
    add("rows", *rows);
  return "{" + out + "}";
}

/// The keys of one table: what is there, and the defaults of what is not.
std::string key_lines(const std::optional<TomlView> &view, const SectionKeys &section)
{
  std::string out;
  for (const Key &key : section.keys)
  {
    const auto value = view ? view->find(key.name) : std::nullopt;
    if (value && key.smooth && value->find("rows") && !value->find(between_rows))
      out += fmt::format("{} = {{{} = \"smooth\", {}\n", key.name, between_rows, literal(value->node()).substr(1));
    else if (value)
      out += fmt::format("{} = {}\n", key.name, literal(value->node()));
    else if (!key.fallback.empty())
      out += fmt::format("{} = {} # default\n", key.name, key.fallback);
  }
  return out;
}

std::string table_text(const TomlView &parent, const std::string &name, const std::string &path, const SectionKeys &section)
{
  return fmt::format("\n[{}]\n{}", path, key_lines(parent.find(name), section));
}

std::string array_text(const std::optional<TomlView> &array, const std::string &path, const SectionKeys &section)
{
  std::string out;
  if (array)
    for (const TomlView &entry : array->entries())
      out += fmt::format("\n[[{}]]\n{}", path, key_lines(entry, section));
  return out;
}

std::string limb_text(const TomlView &document, const std::string &name)
{
  const auto limb = document.find(name);
  if (!limb)
    return {};
  return table_text(document, name, name, limb_section().keys()) +
         table_text(*limb, "section", name + ".section", cross_section_section().keys()) +
         table_text(*limb, "nock", name + ".nock", nock_section().keys()) +
         (limb->find("bridge") ? table_text(*limb, "bridge", name + ".bridge", bridge_section().keys()) : std::string{}) +
         array_text(limb->find("lamination"), name + ".lamination", lamination_section().keys());
}

std::string property_line(const std::string &name, double value, const std::string &unit,
                          const std::map<std::string, PropertySource> &sources)
{
  if (std::isnan(value))
    return {};
  const std::string number = unit.empty() ? fmt::format("{}", value) : fmt::format("\"{} {}\"", value, unit);
  const auto found = sources.find(name);
  if (found == sources.end())
    return fmt::format("{} = {}\n", key_literal(name), number);
  static constexpr std::array words = {"table", "measured", "derived", "estimate", "memory"};
  return fmt::format("{} = {{value = {}, provenance = \"{}\", source = {}, conditions = {}}}\n", key_literal(name), number,
                     words.at(static_cast<std::size_t>(found->second.provenance)), text_literal(found->second.source),
                     text_literal(found->second.conditions));
}

/// A material or adhesive in full.
template <class T>
std::string properties_text(const std::string &kind, const T &entry, const Section<T> &section, const std::string &kind_line)
{
  std::string out = fmt::format("\n[{}.{}]\ntitle = {}\n{}", kind, key_literal(entry.name), text_literal(entry.title), kind_line);
  for (const Field<T> &field : section.fields)
    if (field.get != nullptr)
      out += property_line(field.key.name, field.get(entry), si_unit_of(field.key.measures.front().dimension), entry.sources);
  for (const auto &[name, value] : entry.further)
  {
    const auto unit = library_further_units().find(name);
    out += property_line(name, value, unit == library_further_units().end() ? std::string{} : unit->second, entry.sources);
  }
  return out;
}
} // namespace

std::string write_case(const TomlView &document, const Case &read)
{
  std::string out = "# The bow file as it was run, with every default written out. It can be run again.\n" +
                    key_lines(document, root_section().keys());
  out += table_text(document, "bow", "bow", bow_section().keys());
  out += table_text(document, "handle", "handle", handle_section().keys());
  if (read.bow.lower)
    out += table_text(document, "hold", "hold", hold_section().keys());
  out += table_text(document, "string", "string", string_section().keys());
  for (const char *name : {"limb", "upper", "lower"})
    out += limb_text(document, name);
  if (const auto glue = document.find("glue"))
    out += table_text(document, "glue", "glue", glue_section().keys()) +
           array_text(glue->find("line"), "glue.line", glue_line_section().keys()) +
           array_text(glue->find("patch"), "glue.patch", glue_patch_section().keys());
  if (const auto weak = document.find("weak"))
    out += array_text(weak->find("knot"), "weak.knot", weak_knot_section().keys()) +
           array_text(weak->find("run_out"), "weak.run_out", weak_run_out_section().keys()) +
           array_text(weak->find("split"), "weak.split", weak_split_section().keys()) +
           array_text(weak->find("wrap"), "weak.wrap", weak_wrap_section().keys());
  for (const auto &[name, material] : read.bow.materials)
    out += properties_text("material", material, material_section(), fmt::format("kind = \"{}\"\n", word_of(material.kind)));
  for (const auto &[name, adhesive] : read.bow.adhesives)
    out += properties_text("adhesive", adhesive, adhesive_section(), "");
  out += table_text(document, "conditions", "conditions", conditions_section().keys());
  out += table_text(document, "mesh", "mesh", mesh_section().keys());
  out += table_text(document, "solve", "solve", solve_section().keys());
  if (const auto measured = document.find("measured"))
    out += array_text(measured->find("weight"), "measured.weight", measured_weight_section().keys()) +
           array_text(measured->find("strip"), "measured.strip", measured_strip_section().keys());
  return out + array_text(document.find("expect"), "expect", expect_section().keys());
}
} // namespace limbwright
