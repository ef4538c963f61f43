#include "cases/reader/measured_reader.h"

#include "cases/reader/nearest_name.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

namespace limbwright
{
namespace
{
constexpr std::size_t most_measured = 200;

const LaminationDescription *lamination_called(const LimbDescription &limb, const std::string &name)
{
  const auto found = std::find_if(limb.laminations.begin(), limb.laminations.end(),
                                  [&](const LaminationDescription &one) { return one.name == name; });
  return found == limb.laminations.end() ? nullptr : &*found;
}

/// The tables of a list in [measured]; none after a complaint.
std::vector<TomlView> listed(const TomlView &measured, const std::string &name)
{
  const auto list = measured.find(name);
  if (!list)
    return {};
  if (list->node().is_array() && list->entries().size() <= most_measured)
    return list->entries();
  list->error(fmt::format("write each one as its own table, [[measured.{}]], at most {}", name, most_measured));
  return {};
}

void check_flexing(const TomlView &view, const MeasuredStrip &strip)
{
  int given = 0;
  std::string missing;
  for (const char *key : {"width", "span", "load", "deflection"})
    if (view.find(key))
      ++given;
    else
      missing += (missing.empty() ? "" : ", ") + std::string(key);
  if (given > 0 && !missing.empty())
    view.error("a strip that was flexed under a weight needs width, span, load and deflection; missing: " + missing);
  else if (given == 0 && (view.find("middle") || view.find("accuracy")))
    view.error("middle and accuracy go with a strip that was flexed: give width, span, load and deflection too");
  if (strip.flexed() && strip.deflection > 0.1 * strip.span)
    view.find("deflection")
        ->warning("it sags by more than a tenth of its span, where deflection is no longer in proportion to the weight; use a "
                  "lighter weight");
}

void read_strip(const TomlView &view, const Case &bow_case, std::set<std::string> &names, Measured &into)
{
  MeasuredStrip strip;
  const std::size_t errors = view.complaints().n_errors();
  read_section(view, measured_strip_section(), strip);
  check_flexing(view, strip);
  const LimbDescription &upper = bow_case.bow.upper;
  if (upper.laminations.empty() || view.complaints().n_errors() > errors)
    return;
  if (!names.insert(strip.name).second)
    view.complaints().error(view.place_of("name"), fmt::format("a strip named {} was listed before", in_quotes(strip.name)));
  std::vector<std::string> known;
  for (const LaminationDescription &lamination : upper.laminations)
    known.push_back(lamination.name);
  const LaminationDescription *lamination = lamination_called(upper, strip.lamination);
  if (lamination == nullptr || (bow_case.bow.lower && lamination_called(*bow_case.bow.lower, strip.lamination) == nullptr))
  {
    view.complaints().error(view.place_of("lamination"),
                            fmt::format("no lamination of {} is named {}; {}", bow_case.bow.lower ? "both limbs" : "the limb",
                                        in_quotes(strip.lamination), name_advice(strip.lamination, known)));
    return;
  }
  if (std::isnan(strip.middle))
    strip.middle = 0.5 * (std::max(lamination->start, upper.root_station) + std::min(lamination->end, upper.tip_station));
  if (!strip.thickness.empty() && *std::min_element(strip.thickness.value.begin(), strip.thickness.value.end()) < 0.05e-3 &&
      strip.flexed())
    view.complaints().error(view.place_of("thickness"), "a strip that was flexed needs some thickness everywhere");
  into.strips.push_back(std::move(strip));
}
} // namespace

const Section<MeasuredWeight> &measured_weight_section()
{
  static const Section<MeasuredWeight> section{
      "measured.weight[]",
      "A draw weight read off a scale, for the finished bow. Widths, thicknesses and brace height in the file should then be "
      "those measured on it. 'limbwright fit' fits the moduli to it.",
      {
          {quantity_key("draw", Dimension::length, "2 in", "80 in", "draw length, in the file's convention").needed(),
           [](MeasuredWeight &into, const Value &value) { into.draw = value.number; }},
          {quantity_key("weight", Dimension::force, "1 N", "2000 N", "what the scale read").needed(),
           [](MeasuredWeight &into, const Value &value) { into.weight = value.number; }},
          {quantity_key("accuracy", Dimension::force, "0.001 lbf", "20 lbf",
                        "accuracy of the reading: a standard deviation, scale and draw length together")
               .by_default("\"0.25 lbf\""),
           [](MeasuredWeight &into, const Value &value) { into.accuracy = value.number; }},
      }};
  return section;
}

const Section<MeasuredStrip> &measured_strip_section()
{
  static const Section<MeasuredStrip> section{
      "measured.strip[]",
      "A lamination measured before glue-up. 'limbwright match' pairs such strips for the upper and lower limb; 'limbwright fit' "
      "takes the modulus from how far they deflect.",
      {
          {plain_key("name", ValueKind::name, "the name written on it; different from the others").needed(),
           [](MeasuredStrip &into, const Value &value) { into.name = value.text; }},
          {plain_key("lamination", ValueKind::name, "the lamination it is for").needed(),
           [](MeasuredStrip &into, const Value &value) { into.lamination = value.text; }},
          {table_key("thickness", {{"thickness", Dimension::length, "0 in", "4 in"}},
                     "thickness by calipers, by distance from center on the limb, or one for all; default: as designed")
               .smooth_between_rows(),
           [](MeasuredStrip &into, const Value &value) { into.thickness = value.table; }},
          {quantity_key("density", Dimension::density, "1 kg/m3", "30000 kg/m3", "mass over volume; default: the material's"),
           [](MeasuredStrip &into, const Value &value) { into.density = value.number; }},
          {quantity_key("width", Dimension::length, "0.1 in", "10 in", "width of the strip when it was flexed"),
           [](MeasuredStrip &into, const Value &value) { into.width = value.number; }},
          {quantity_key("span", Dimension::length, "1 in", "80 in", "distance between the two supports it lies on, flat"),
           [](MeasuredStrip &into, const Value &value) { into.span = value.number; }},
          {quantity_key(
               "middle", Dimension::length, "0 in", "80 in",
               "where the weight hangs, halfway between the supports, from center; default: the middle of the lamination"),
           [](MeasuredStrip &into, const Value &value) { into.middle = value.number; }},
          {quantity_key("load", Dimension::force, "0.01 N", "2000 N", "the weight hung from its middle"),
           [](MeasuredStrip &into, const Value &value) { into.load = value.number; }},
          {quantity_key("deflection", Dimension::length, "0.001 in", "10 in", "how far its middle sinks under that weight"),
           [](MeasuredStrip &into, const Value &value) { into.deflection = value.number; }},
          {quantity_key("accuracy", Dimension::length, "0.0001 in", "1 in",
                        "accuracy of the deflection: a standard deviation; default: 0.005 in"),
           [](MeasuredStrip &into, const Value &value) { into.accuracy = value.number; }},
      }};
  return section;
}

void read_measured(const TomlView &document, Case &bow_case)
{
  const auto measured = document.find("measured");
  if (!measured)
    return;
  if (measured->table() == nullptr)
  {
    measured->error("write what was measured as tables, [[measured.weight]] and [[measured.strip]]");
    return;
  }
  complain_of_unknown_keys(*measured, {"weight", "strip"});
  for (const TomlView &entry : listed(*measured, "weight"))
  {
    MeasuredWeight weight;
    const std::size_t errors = entry.complaints().n_errors();
    read_section(entry, measured_weight_section(), weight);
    weight.draw -= convention_offset(bow_case);
    if (entry.complaints().n_errors() > errors)
      continue;
    if (weight.draw <= bow_case.bow.brace_height)
      entry.complaints().error(entry.place_of("draw"), "is not beyond the brace height, where the bow pulls nothing yet");
    bow_case.measured.weights.push_back(weight);
  }
  std::set<std::string> names;
  for (const TomlView &entry : listed(*measured, "strip"))
    read_strip(entry, bow_case, names, bow_case.measured);
}
} // namespace limbwright
