#include "cases/reader/case_reader.h"

#include "cases/reader/checks_of_sense.h"
#include "cases/reader/cut_reader.h"
#include "cases/reader/likely_slips.h"
#include "cases/reader/limb_reader.h"
#include "cases/reader/material_library.h"
#include "cases/reader/material_reader.h"
#include "cases/reader/measured_reader.h"
#include "cases/reader/nearest_name.h"
#include "cases/reader/plain_text.h"
#include "cases/reader/weak_reader.h"
#include "cases/reader/write_case.h"
#include "cases/report/summary.h"

#include <fmt/format.h>

#include <cmath>
#include <fstream>
#include <sstream>

namespace limbwright
{
namespace
{
constexpr std::size_t most_entries = 200; // of a case's own materials, adhesives or expectations

template <class T>
std::vector<std::string> names_of(const std::map<std::string, T> &own, const std::map<std::string, T> &library)
{
  std::map<std::string, bool> names;
  for (const auto &[name, entry] : own)
    names[name] = true;
  for (const auto &[name, entry] : library)
    names[name] = true;
  std::vector<std::string> list;
  for (const auto &[name, here] : names)
    list.push_back(name);
  return list;
}

/// [material.*] or [adhesive.*].
template <class T, class Read>
void read_own(const TomlView &document, const std::string &kind, const std::map<std::string, T> &library, const T &blank,
              const Read &read, std::map<std::string, T> &into)
{
  const auto tables = document.find(kind);
  if (!tables)
    return;
  if (tables->table() == nullptr || tables->table()->size() > most_entries)
  {
    tables->error(fmt::format("write each {0} of this file as its own table [{0}.NAME], at most {1}", kind, most_entries));
    return;
  }
  for (const auto &[key, node] : *tables->table())
  {
    const std::string name(key.str());
    const TomlView view = *tables->find(name);
    if (view.table() == nullptr)
    {
      view.error(fmt::format("write each {0} of this file as its own table, [{0}.NAME]", kind));
      continue;
    }
    if (name.empty() || first_control(name) != std::string::npos)
    {
      view.error(fmt::format("the name of a {} must be one line of text, not empty and without control characters", kind));
      continue;
    }
    T entry = blank;
    if (const auto base = view.find("based_on"))
    {
      const std::string base_name = base->node().value<std::string>().value_or("");
      if (const auto found = library.find(base_name); found != library.end())
        entry = found->second;
      else
      {
        base->error(
            fmt::format("{} is not in the library; {}", in_quotes(base_name), name_advice(base_name, names_of({}, library))));
        continue;
      }
    }
    entry.name = name;
    read(view, FurtherKeys{false, library_further_units()}, entry);
    into[name] = entry;
  }
}

/// Finds a material or adhesive among the case's own, then in the library, and puts it into the bow.
template <class T>
void use(const std::string &name, const Place &place, const char *kind, const std::map<std::string, T> &library,
         const TomlView &document, std::map<std::string, T> &into)
{
  if (name.empty() || into.contains(name))
    return;
  if (const auto own = document.find(kind); own && own->find(name))
    return; // its own mistakes have been complained about
  if (const auto found = library.find(name); found != library.end())
    into[name] = found->second;
  else
    document.complaints().error(place, fmt::format("no {} is named {}; {}, or define it in this file as [{}.NAME]", kind,
                                                   in_quotes(name), name_advice(name, names_of(into, library)), kind));
}

void use_materials(const TomlView &document, const TomlView &limb_view, const LimbDescription &limb, BowDescription &bow)
{
  if (const auto laminations = limb_view.find("lamination"))
  {
    const auto entries = laminations->entries();
    for (std::size_t i = 0; i < limb.laminations.size(); ++i)
      use(limb.laminations[i].material, entries[i].find("material").value_or(entries[i]).place(), "material", library_materials(),
          document, bow.materials);
  }
  const auto glue = document.find("glue");
  for (const GlueLineDescription &line : limb.glue)
  {
    Place place = glue->place_of("adhesive");
    if (const auto own = glue->find("line"))
      for (const TomlView &entry : own->entries())
        if (const auto adhesive = entry.find("adhesive"); adhesive && adhesive->node().value<std::string>() == line.adhesive)
          place = adhesive->place();
    use(line.adhesive, place, "adhesive", library_adhesives(), document, bow.adhesives);
  }
}

/// What fills patches and splits, and what wraps are made of.
void use_fillings(const TomlView &document, const LimbDescription &limb, const std::vector<Written<Split>> &splits,
                  const std::vector<Written<WrapInput>> &wraps, BowDescription &bow)
{
  const auto fill = [&](const GluePatch &patch, const Place &place)
  {
    if (patch.filled())
      use(patch.filling, place, "adhesive", library_adhesives(), document, bow.adhesives);
  };
  for (const Written<Split> &split : splits)
    fill(split.value.patch, split.view.place_of("filling"));
  for (const auto &[wrap, view] : wraps)
    use(wrap.material, view.place_of("material"), "material", library_materials(), document, bow.materials);
  for (const GlueLineDescription &line : limb.glue)
    for (const GluePatch &patch : line.patches)
      for (const TomlView &entry : document.find("glue")->find("patch")->entries())
        if (const auto filling = entry.find("filling"); filling && filling->node().value<std::string>() == patch.filling)
          fill(patch, filling->place());
}

/// [limb], or [upper] and [lower]; nothing when neither is there as it should be.
std::vector<TomlView> limb_views(const TomlView &document)
{
  const auto limb = document.find("limb"), upper = document.find("upper"), lower = document.find("lower");
  if (limb && (upper || lower))
    (upper ? upper : lower)->error("there is also a [limb]; write [limb] for like limbs, or [upper] and [lower] for unlike ones");
  else if (limb)
    return {*limb};
  else if (upper && lower)
    return {*upper, *lower};
  else if (upper || lower)
    (upper ? upper : lower)
        ->error(fmt::format("there is no [{}] to go with it; for like limbs write [limb]", upper ? "lower" : "upper"));
  else
    document.complaints().error(document.place_of("limb"), "is missing; write [limb] for like limbs, or [upper] and [lower]");
  return {};
}

Dimension dimension_of(const std::string &unit)
{
  for (const Dimension dimension : {Dimension::length, Dimension::angle, Dimension::force, Dimension::mass, Dimension::energy,
                                    Dimension::stress, Dimension::force_per_length})
    if (si_unit_of(dimension) == unit)
      return dimension;
  return unit.empty() || unit == "1" ? Dimension::ratio : Dimension::any;
}

void read_expectation(const TomlView &view, Case &bow_case)
{
  ExpectInput input;
  read_section(view, expect_section(), input);
  const auto quantity = view.find("quantity"), value = view.find("value"), tolerance = view.find("tolerance");
  if (input.quantity.empty() || input.value.empty() || input.tolerance.empty())
    return;
  std::vector<std::string> known;
  std::optional<Dimension> dimension;
  for (const SummaryQuantity &figure : summary_quantities(Case{}, DrawResults{}))
  {
    known.push_back(figure.key);
    if (figure.key == input.quantity)
      dimension = dimension_of(figure.unit);
  }
  if (!dimension)
  {
    quantity->error(
        fmt::format("no figure in summary.json is named {}; {}", in_quotes(input.quantity), name_advice(input.quantity, known)));
    return;
  }
  const Quantity figure = parse_quantity(input.value, *dimension);
  if (!figure.error.empty())
    value->error(figure.error);
  const bool relative = input.tolerance.find('%') != std::string::npos;
  const Quantity off = parse_quantity(input.tolerance, relative ? Dimension::ratio : *dimension);
  if (!off.error.empty())
    tolerance->error(off.error + "; or a percentage of the value, for example \"3 %\"");
  else if (off.value <= 0.)
    tolerance->error("must be above zero");
  if (figure.error.empty() && off.error.empty())
    bow_case.expectations.push_back({input.quantity, figure.value, relative ? off.value * std::abs(figure.value) : off.value});
}

void read_expectations(const TomlView &document, Case &bow_case)
{
  const auto list = document.find("expect");
  if (!list)
    return;
  if (!list->node().is_array() || list->entries().size() > most_entries)
    list->error(fmt::format("write each expected result as its own table, [[expect]], at most {}", most_entries));
  else
    for (const TomlView &entry : list->entries())
      read_expectation(entry, bow_case);
}

/// The fingers' middle below the nocking point when all are below the arrow. [m] Our judgement: half the width of three fingers
/// side by side, some 0.7 in each in a glove or tab, less what they give.
constexpr double three_under_below = 0.9 * 0.0254;

void read_hold(const TomlView &document, bool unlike_limbs, HoldDescription &hold)
{
  HoldInput input;
  const auto view = document.find("hold");
  if (view && !unlike_limbs)
  {
    view->error("goes with unlike limbs. Leave out [hold]: like limbs are drawn at center. Or write [upper] and [lower] with the "
                "same numbers");
    return;
  }
  read_section_of(document, "hold", hold_section(), input);
  if (view && view->find("pressure_height") && !input.free_handle)
    view->find("pressure_height")->warning("has no effect while the handle is fixed; write handle = \"rocks\"");
  const double below = std::isnan(input.fingers_below) ? (input.three_under ? three_under_below : 0.) : input.fingers_below;
  hold.nocking_height = input.nocking_height - below;
  hold.free_height = input.free_height;
  hold.free_handle = input.free_handle;
  hold.pressure_height = input.pressure_height;
}

void read_document(const TomlView &document, Case &bow_case)
{
  BowDescription &bow = bow_case.bow;
  read_section(document, root_section(), bow_case);
  BowInput lengths;
  read_section_of(document, "bow", bow_section(), lengths);
  HandleInput handle;
  read_section_of(document, "handle", handle_section(), handle);
  read_section_of(document, "string", string_section(), bow.string);
  read_section_of(document, "mesh", mesh_section(), bow_case.mesh);
  read_section_of(document, "solve", solve_section(), bow_case.solve);
  read_section_of(document, "conditions", conditions_section(), bow_case.conditions);
  bow_case.convention = lengths.convention;
  bow_case.throat_to_back = handle.throat_to_back;
  bow.brace_height = lengths.brace_height;
  bow.full_draw = lengths.draw_length - convention_offset(bow_case);
  Material blank;
  blank.constants = unknown_constants();
  read_own(document, "material", library_materials(), blank, read_material, bow.materials);
  read_own(document, "adhesive", library_adhesives(), Adhesive{}, read_adhesive, bow.adhesives);
  const std::vector<TomlView> views = limb_views(document);
  if (!views.empty())
    read_hold(document, views.size() == 2, bow.hold);
  const double half_length = views.size() == 1 ? 0.5 * lengths.nock_to_nock : not_given;
  if (views.size() == 2 && !std::isnan(lengths.nock_to_nock))
    document.complaints().error(document.find("bow")->place_of("nock_to_nock"),
                                "goes with like limbs; for unlike limbs give upper.length and lower.length");
  if (views.empty() && document.find("glue"))
  {
    LimbDescription none;
    read_glue(document, document, none, bow_case.stack_includes_glue);
  }
  for (std::size_t i = 0; i < views.size(); ++i)
  {
    LimbDescription limb = read_limb(views[i], handle, half_length);
    read_glue(document, views[i], limb, bow_case.stack_includes_glue);
    read_weak(document, views[i], limb);
    const auto splits = read_splits(document, views[i], limb);
    const auto wraps = read_wraps(document, views[i], limb);
    use_materials(document, views[i], limb, bow);
    use_fillings(document, limb, splits, wraps, bow);
    check_parting(document, limb, bow.materials, bow.adhesives);
    check_limb(views[i], limb);
    check_draw(document, views[i], bow, limb);
    warn_of_slips(document, views[i], handle, bow, limb);
    put_wraps(wraps, bow.materials, limb);
    if (document.complaints().n_errors() == 0)
      divide_limb(splits, limb);
    if (document.complaints().n_errors() == 0)
      check_shape(views[i], limb);
    if (i == 0)
      bow.upper = std::move(limb);
    else
      bow.lower = std::move(limb);
  }
  read_measured(document, bow_case);
  read_expectations(document, bow_case);
}
} // namespace

ReadOutcome read_case_text(const std::string &text, const std::string &file_name)
{
  Complaints complaints(file_name);
  ReadOutcome outcome;
  if (const auto table = parse_toml(text, complaints))
  {
    const TomlView document(*table, "", complaints);
    Case bow_case;
    bow_case.name = std::filesystem::path(file_name).stem().string();
    read_document(document, bow_case);
    if (complaints.n_errors() == 0)
    {
      bow_case.resolved = write_case(document, bow_case);
      outcome.read = std::move(bow_case);
    }
  }
  outcome.errors = complaints.errors();
  outcome.warnings = complaints.warnings();
  return outcome;
}

ReadOutcome read_case(const std::filesystem::path &file)
{
  const auto unreadable = [&file](const std::string &why) {
    return ReadOutcome{std::nullopt, {{file.string(), 0, 0, "", why}}, {}};
  };
  std::error_code failure;
  // Opening a pipe would wait for its writer.
  if (const auto kind = std::filesystem::status(file, failure).type();
      kind != std::filesystem::file_type::regular && kind != std::filesystem::file_type::not_found)
    return unreadable(kind == std::filesystem::file_type::directory
                          ? "is a folder; name a bow file"
                          : "is not a plain file but a pipe or a device; save the bow file to disk first");
  if (const auto size = std::filesystem::file_size(file, failure); !failure && size > largest_case)
    return unreadable(fmt::format("the file has {} bytes; a bow file has at most {}", size, largest_case));
  std::ifstream stream(file, std::ios::binary);
  std::ostringstream text;
  if (!stream || !(text << stream.rdbuf() || std::filesystem::file_size(file, failure) == 0))
    return unreadable("the file cannot be read; check the name");
  return read_case_text(text.str(), file.string());
}

std::string format(const Diagnostic &diagnostic)
{
  const std::string place =
      diagnostic.line > 0 ? fmt::format("{}:{}:{}", diagnostic.file, diagnostic.line, diagnostic.column) : diagnostic.file;
  return diagnostic.key.empty() ? fmt::format("{}: {}", place, diagnostic.message)
                                : fmt::format("{}: {}: {}", place, diagnostic.key, diagnostic.message);
}
} // namespace limbwright
