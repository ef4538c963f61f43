#include "cases/reader/key_reference.h"

#include "cases/reader/all_sections.h"
#include "cases/reader/bow_keys.h"
#include "cases/reader/cut_reader.h"
#include "cases/reader/material_library.h"
#include "cases/reader/material_reader.h"
#include "cases/reader/measured_reader.h"
#include "cases/reader/weak_reader.h"

#include <fmt/format.h>

namespace limbwright
{
namespace
{
/// Breaks a text into lines of some 100 letters, each indented.
std::string indented(const std::string &text, const std::string &margin)
{
  constexpr std::size_t width = 100;
  std::string out, line = margin;
  for (std::size_t i = 0; i < text.size();)
  {
    const std::size_t end = std::min(text.find(' ', i), text.size());
    const std::string word = text.substr(i, end - i);
    if (line.size() + word.size() + 1 > width && line.size() > margin.size())
    {
      out += line + "\n";
      line = margin;
    }
    line += (line.size() > margin.size() ? " " : "") + word;
    i = end + 1;
  }
  return out + line + "\n";
}

std::string measure_words(const Measure &measure)
{
  std::string words = words_of(measure.dimension) + " (" + units_of(measure.dimension) + ")";
  if (!measure.lowest.empty())
    words += fmt::format(", {} to {}", measure.lowest, measure.highest);
  return words;
}

std::string taken(const Key &key)
{
  std::string words;
  for (const std::string &word : key.words)
    words += fmt::format("{}\"{}\"", words.empty() ? "" : " | ", word);
  switch (key.kind)
  {
  case ValueKind::quantity:
    return measure_words(key.measures.front()) + (words.empty() ? "" : ", or " + words);
  case ValueKind::property:
    return measure_words(key.measures.front()) + ", plain or with its source";
  case ValueKind::table:
  {
    std::string columns;
    for (const Measure &measure : key.measures)
      columns += (columns.empty() ? "table of " : ", or of ") + measure.name + ": " + measure_words(measure);
    return fmt::format("{}; {{s = \"in\", {} = \"{}\", rows = [[s, value], ...]}}{}, or one value", columns,
                       key.measures.front().name, key.measures.front().dimension == Dimension::angle ? "deg" : "in",
                       key.smooth ? ", with between_rows = \"straight\" for straight tapers from row to row (else \"smooth\")"
                                  : "");
  }
  case ValueKind::text:
  case ValueKind::name:
    return "text in quotes";
  case ValueKind::choice:
    return words;
  case ValueKind::whole:
    return fmt::format("whole number, {} to {}", key.measures.front().lowest, key.measures.front().highest);
  case ValueKind::names:
    return "list of two names";
  }
  return {};
}
} // namespace

std::vector<SectionKeys> all_sections()
{
  SectionKeys material = material_section().keys(), adhesive = adhesive_section().keys();
  const Key based_on = plain_key("based_on", ValueKind::name, "an entry of the library, for all values not given here");
  material.keys.insert(material.keys.begin(), based_on);
  adhesive.keys.insert(adhesive.keys.begin(), based_on);
  return {root_section().keys(),
          bow_section().keys(),
          handle_section().keys(),
          hold_section().keys(),
          string_section().keys(),
          limb_section().keys(),
          cross_section_section().keys(),
          nock_section().keys(),
          bridge_section().keys(),
          lamination_section().keys(),
          glue_section().keys(),
          glue_line_section().keys(),
          glue_patch_section().keys(),
          weak_knot_section().keys(),
          weak_run_out_section().keys(),
          weak_split_section().keys(),
          weak_wrap_section().keys(),
          std::move(material),
          std::move(adhesive),
          conditions_section().keys(),
          mesh_section().keys(),
          solve_section().keys(),
          measured_weight_section().keys(),
          measured_strip_section().keys(),
          expect_section().keys()};
}

std::string key_reference()
{
  std::string out = "Keys of a bow file (TOML). Values with a unit go in quotes: \"0.043 in\", \"1 5/16 in\", \"12 GPa\".\n"
                    "A table states its units once: {s = \"in\", width = \"in\", rows = [[8, 1.40], [17, 1.30]]}; s is "
                    "the\ndistance from center.\n";
  for (const SectionKeys &section : all_sections())
  {
    const bool array = section.path.ends_with("[]");
    const std::string path = array ? section.path.substr(0, section.path.size() - 2) : section.path;
    if (path.empty())
      out += '\n';
    else
      out += fmt::format(array ? fmt::runtime("\n[[{}]]\n") : fmt::runtime("\n[{}]\n"), path);
    out += indented(section.text, "");
    for (const Key &key : section.keys)
    {
      const std::string fallback = key.required ? "needed" : key.fallback.empty() ? "optional" : "default " + key.fallback;
      out += fmt::format("  {}  ({})\n", key.name, fallback) + indented(taken(key), "      ") + indented(key.text, "      ");
    }
  }
  std::string further;
  for (const auto &[name, unit] : library_further_units())
    further += fmt::format("{}{} [{}]", further.empty() ? "" : ", ", name, unit.empty() ? "1" : unit);
  return out + "\n" + indented("Materials and adhesives also take these properties of the library: " + further + ".", "");
}
} // namespace limbwright
