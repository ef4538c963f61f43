#include "cases/reader/material_reader.h"

#include "cases/reader/nearest_name.h"
#include "materials/law/orthotropic.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace limbwright
{
namespace
{
constexpr std::array<std::pair<const char *, MaterialKind>, 5> kinds = {{{"wood", MaterialKind::wood},
                                                                         {"bamboo", MaterialKind::bamboo},
                                                                         {"composite", MaterialKind::composite},
                                                                         {"animal", MaterialKind::animal},
                                                                         {"textile", MaterialKind::textile}}};

template <class T>
void note_source(T &into, const char *name, const Value &value)
{
  // A plain number of a case's own carries no source; what it was based on no longer speaks for it.
  into.sources[name] = value.source ? *value.source : PropertySource{Provenance::estimate, "stated in the bow file", ""};
}

#define LIMBWRIGHT_PROPERTY(type, key, member, dimension, lowest, highest, text)                                                 \
  Field<type>                                                                                                                    \
  {                                                                                                                              \
    property_key(key, dimension, lowest, highest, text),                                                                         \
        [](type &into, const Value &value)                                                                                       \
    {                                                                                                                            \
      into.member = value.number;                                                                                                \
      note_source(into, key, value);                                                                                             \
    },                                                                                                                           \
        [](const type &from) { return from.member; }                                                                             \
  }
#define LIMBWRIGHT_MODULUS(key, text)                                                                                            \
  LIMBWRIGHT_PROPERTY(Material, #key, constants.key, Dimension::stress, "1 kPa", "2000 GPa", text)
#define LIMBWRIGHT_POISSON(key, text) LIMBWRIGHT_PROPERTY(Material, #key, constants.key, Dimension::ratio, "-5", "5", text)
#define LIMBWRIGHT_STRENGTH(key, text)                                                                                           \
  LIMBWRIGHT_PROPERTY(Material, #key, strengths.key, Dimension::stress, "1 Pa", "20 GPa", text)

/// Reads the keys that are not declared into `further`, whatever they measure.
template <class T>
void read_further(const TomlView &view, const FurtherKeys &further, const std::vector<std::string> &declared, T &into)
{
  std::vector<std::string> known = declared;
  for (const auto &[name, unit] : further.known)
    known.push_back(name);
  if (!further.any)
    complain_of_unknown_keys(view, known);
  const Measure anything{"", Dimension::any, "", ""};
  for (const auto &[key, node] : *view.table())
  {
    const std::string name(key.str());
    if (std::find(declared.begin(), declared.end(), name) != declared.end())
      continue;
    if (!further.any && !further.known.contains(name))
      continue;
    if (const auto value = read_property(*view.find(name), anything))
    {
      into.further[name] = value->number;
      note_source(into, name.c_str(), *value);
    }
  }
}

/// Reads the declared keys, then the further ones.
template <class T>
void read_properties(const TomlView &view, const Section<T> &section, const FurtherKeys &further, T &into)
{
  std::vector<std::string> declared = section.parts;
  for (const Field<T> &field : section.fields)
  {
    declared.push_back(field.key.name);
    if (const auto value = read_key(view, field.key))
      field.put(into, *value);
  }
  read_further(view, further, declared, into);
}

void require(const TomlView &view, const char *name, double value, const char *what)
{
  if (std::isnan(value) && !view.find(name))
    view.complaints().error(
        view.place_of(name),
        fmt::format(
            "is missing: {}. Properties have no defaults: state it, or base the entry on one of the library with based_on",
            what));
}
} // namespace

const Section<Material> &material_section()
{
  static const Section<Material> section{
      "material.NAME",
      "A material of this file; it replaces one of the library with the same name. Every property may carry its source: {value = "
      "\"12 GPa\", provenance = \"measured\", source = \"...\", conditions = \"...\"}. Provenance is table, measured, derived, "
      "estimate or memory. L is along the grain or fiber, R from pith to bark, T along the growth rings. nu_LR is the strain "
      "along R over the strain along L under a stress along L.",
      {
          {plain_key("title", ValueKind::name, "what it is, in words"),
           [](Material &into, const Value &value) { into.title = value.text; }},
          {choice_key("kind", material_kind_words(),
                      "sets which limits apply: wood and bamboo crush on the belly, composites do not"),
           [](Material &into, const Value &value)
           {
             for (const auto &[word, kind] : kinds)
               if (value.text == word)
                 into.kind = kind;
           }},
          LIMBWRIGHT_PROPERTY(Material, "density", density, Dimension::density, "1 kg/m3", "30000 kg/m3", "mass per volume"),
          LIMBWRIGHT_MODULUS(E_L, "Young's modulus along the grain"),
          LIMBWRIGHT_MODULUS(E_R, "Young's modulus along R"),
          LIMBWRIGHT_MODULUS(E_T, "Young's modulus along T"),
          LIMBWRIGHT_MODULUS(G_LR, "shear modulus in the LR plane"),
          LIMBWRIGHT_MODULUS(G_LT, "shear modulus in the LT plane"),
          LIMBWRIGHT_MODULUS(G_RT, "shear modulus in the RT plane (rolling shear)"),
          LIMBWRIGHT_POISSON(nu_LR, "Poisson's ratio, stress along L, strain along R"),
          LIMBWRIGHT_POISSON(nu_LT, "Poisson's ratio, stress along L, strain along T"),
          LIMBWRIGHT_POISSON(nu_RT, "Poisson's ratio, stress along R, strain along T"),
          LIMBWRIGHT_STRENGTH(tension_L, "tensile strength along the grain"),
          LIMBWRIGHT_STRENGTH(compression_L, "crushing strength along the grain"),
          LIMBWRIGHT_STRENGTH(tension_R, "tensile strength along R"),
          LIMBWRIGHT_STRENGTH(compression_R, "crushing strength along R"),
          LIMBWRIGHT_STRENGTH(tension_T, "tensile strength along T"),
          LIMBWRIGHT_STRENGTH(compression_T, "crushing strength along T"),
          LIMBWRIGHT_STRENGTH(shear_LR, "shear strength in the LR plane"),
          LIMBWRIGHT_STRENGTH(shear_LT, "shear strength in the LT plane"),
          LIMBWRIGHT_STRENGTH(shear_RT, "shear strength in the RT plane (rolling shear)"),
          LIMBWRIGHT_PROPERTY(
              Material, "yield_ratio", crushing.yield_ratio, Dimension::ratio, "0.2", "1",
              "wood and bamboo, compression along the grain: proportional limit over compression_L; default: 0.75"),
          LIMBWRIGHT_PROPERTY(Material, "crushing_hardening_strain", crushing.hardening_strain, Dimension::ratio, "1e-5", "0.05",
                              "plastic strain over which the stress covers 63 % of the rise from the proportional limit to "
                              "compression_L; default: 0.1 compression_L/E_L"),
          LIMBWRIGHT_PROPERTY(
              Material, "crushing_falling", crushing.falling, Dimension::stress, "1 Pa", "500 GPa",
              "fall of the stress per unit plastic strain after crushing_fall_from, less than E_L; default: none. A limb bent "
              "past its greatest moment then folds in one column of the mesh, and the results depend on the mesh from there on"),
          LIMBWRIGHT_PROPERTY(Material, "crushing_fall_from", crushing.fall_from, Dimension::ratio, "0", "0.5",
                              "plastic strain at which the fall begins; needed with crushing_falling"),
          LIMBWRIGHT_PROPERTY(Material, "crushing_floor", crushing.floor, Dimension::stress, "0 Pa", "20 GPa",
                              "stress it falls to; default: zero"),
          LIMBWRIGHT_PROPERTY(Material, "modulus_of_rupture", modulus_of_rupture, Dimension::stress, "1 Pa", "20 GPa",
                              "apparent bending strength in the standard test; for information, not a limit"),
          LIMBWRIGHT_PROPERTY(Material, "modulus_of_elasticity", modulus_of_elasticity, Dimension::stress, "1 kPa", "2000 GPa",
                              "apparent bending modulus in the standard test; for information"),
      },
      {"based_on"}};
  return section;
}

const Section<Adhesive> &adhesive_section()
{
  static const Section<Adhesive> section{
      "adhesive.NAME",
      "An adhesive of this file; it replaces one of the library with the same name. Properties may carry their source, as for a "
      "material.",
      {
          {plain_key("title", ValueKind::name, "what it is, in words"),
           [](Adhesive &into, const Value &value) { into.title = value.text; }},
          LIMBWRIGHT_PROPERTY(Adhesive, "density", density, Dimension::density, "1 kg/m3", "30000 kg/m3",
                              "mass per volume, cured"),
          LIMBWRIGHT_PROPERTY(Adhesive, "youngs_modulus", youngs_modulus, Dimension::stress, "1 kPa", "100 GPa",
                              "Young's modulus, cured"),
          LIMBWRIGHT_PROPERTY(Adhesive, "shear_modulus", shear_modulus, Dimension::stress, "1 kPa", "100 GPa",
                              "shear modulus, cured"),
          LIMBWRIGHT_PROPERTY(Adhesive, "tensile_strength", tensile_strength, Dimension::stress, "1 Pa", "2 GPa",
                              "strength against opening (peel)"),
          LIMBWRIGHT_PROPERTY(Adhesive, "shear_strength", shear_strength, Dimension::stress, "1 Pa", "2 GPa",
                              "strength in shear"),
          LIMBWRIGHT_PROPERTY(Adhesive, "fracture_energy_I", fracture_energy_I, Dimension::energy_per_area, "0.01 J/m2",
                              "1e6 J/m2", "energy to open the bond, per area"),
          LIMBWRIGHT_PROPERTY(Adhesive, "fracture_energy_II", fracture_energy_II, Dimension::energy_per_area, "0.01 J/m2",
                              "1e6 J/m2", "energy to shear the bond, per area"),
      },
      {"based_on"}};
  return section;
}

OrthotropicConstants unknown_constants()
{
  constexpr double u = unknown_property;
  return {u, u, u, u, u, u, u, u, u};
}

std::vector<std::string> material_kind_words()
{
  std::vector<std::string> words;
  for (const auto &[word, kind] : kinds)
    words.emplace_back(word);
  return words;
}

std::string word_of(MaterialKind kind)
{
  for (const auto &[word, candidate] : kinds)
    if (candidate == kind)
      return word;
  return {};
}

void read_material(const TomlView &view, const FurtherKeys &further, Material &into)
{
  const std::size_t errors_before = view.complaints().n_errors();
  read_properties(view, material_section(), further, into);
  require(view, "density", into.density, "the mass per volume");
  const OrthotropicConstants &c = into.constants;
  for (const auto &[name, value] : {std::pair{"E_L", c.E_L},
                                    {"E_R", c.E_R},
                                    {"E_T", c.E_T},
                                    {"G_LR", c.G_LR},
                                    {"G_LT", c.G_LT},
                                    {"G_RT", c.G_RT},
                                    {"nu_LR", c.nu_LR},
                                    {"nu_LT", c.nu_LT},
                                    {"nu_RT", c.nu_RT}})
    require(view, name, value, "one of the nine elastic constants");
  const CrushingBehaviour &crushing = into.crushing;
  if (std::isnan(crushing.falling) != std::isnan(crushing.fall_from))
    view.error("crushing_falling and crushing_fall_from go together");
  if (crushing.falling >= c.E_L)
    view.error("crushing_falling must be less than E_L, or the wood would snap back while it crushes");
  if (view.complaints().n_errors() > errors_before)
    return;
  for (const std::string &condition : violated_conditions(c))
    view.error(fmt::format("no such material can exist: its stiffness is not positive definite: {}", condition));
}

void read_adhesive(const TomlView &view, const FurtherKeys &further, Adhesive &into)
{
  read_properties(view, adhesive_section(), further, into);
  require(view, "density", into.density, "the mass per volume");
  require(view, "youngs_modulus", into.youngs_modulus, "Young's modulus of the cured glue");
  require(view, "shear_modulus", into.shear_modulus, "the shear modulus of the cured glue");
}

std::variant<std::monostate, Material, Adhesive> read_library_file(const std::string &name, const TomlView &view)
{
  const auto kind_view = view.find("kind");
  const std::string kind = kind_view ? kind_view->node().value<std::string>().value_or("") : "";
  // Prose of the library that a case has no use for; the kind "adhesive" is none of a material's.
  toml::table table = *view.table();
  table.erase("notes");
  if (kind == "adhesive")
  {
    table.erase("kind");
    Adhesive adhesive;
    adhesive.name = name;
    read_adhesive(TomlView(table, view.path(), view.complaints()), {true, {}}, adhesive);
    return adhesive;
  }
  if (!kind_view)
    view.error(fmt::format("is missing: kind = {}", name_advice("", material_kind_words())));
  Material material;
  material.constants = unknown_constants();
  material.name = name;
  read_material(TomlView(table, view.path(), view.complaints()), {true, {}}, material);
  return material;
}
} // namespace limbwright
