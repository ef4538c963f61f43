#include "cases/report/material_tables.h"

#include "cases/report/output_units.h"
#include "cases/report/words.h"

#include <fmt/core.h>

#include <cmath>
#include <vector>

namespace limbwright
{
namespace
{
struct Property
{
  std::string key;
  std::string text;
  double value;
  enum class Kind
  {
    modulus,
    strength,
    density,
    plain,
    energy_per_area,
    as_given
  } kind;
};

std::string kind_words(MaterialKind kind)
{
  switch (kind)
  {
  case MaterialKind::wood:
    return "wood";
  case MaterialKind::bamboo:
    return "bamboo";
  case MaterialKind::composite:
    return "fiber and resin";
  case MaterialKind::animal:
    return "animal";
  case MaterialKind::textile:
    return "textile";
  }
  return "";
}

std::string value_words(const Property &property)
{
  if (!std::isfinite(property.value))
    return "not known";
  switch (property.kind)
  {
  case Property::Kind::modulus:
    return fmt::format("{:.4g} GPa ({:.3g} Msi)", property.value / gigapascal, property.value / (1000. * ksi));
  case Property::Kind::strength:
    return fmt::format("{:.4g} MPa ({:.0f} psi)", property.value / megapascal, property.value / psi);
  case Property::Kind::density:
    return fmt::format("{:.0f} kg/m3 ({:.1f} lb/ft3)", property.value, property.value / pound_mass * std::pow(12. * inch, 3));
  case Property::Kind::energy_per_area:
    return fmt::format("{:.4g} J/m2", property.value);
  case Property::Kind::plain:
    return fmt::format("{:.4g}", property.value);
  case Property::Kind::as_given:
    return fmt::format("{:.6g} (SI)", property.value);
  }
  return "";
}

std::string rows(const std::vector<Property> &properties, const std::map<std::string, PropertySource> &sources)
{
  std::string text;
  for (const auto &property : properties)
  {
    if (!std::isfinite(property.value) && sources.count(property.key) == 0)
    {
      text += fmt::format("  {:<23}{:<38}not known\n", property.key, property.text);
      continue;
    }
    text += fmt::format("  {:<23}{:<38}{}\n", property.key, property.text, value_words(property));
    const auto source = sources.find(property.key);
    std::string words = "no source stated";
    if (source != sources.end())
    {
      words = provenance_words(source->second.provenance);
      if (!source->second.source.empty())
        words += ": " + source->second.source;
      if (!source->second.conditions.empty())
        words += " (" + source->second.conditions + ")";
    }
    text += "      " + wrapped(words, 6, 84) + "\n";
  }
  return text;
}

void add_further(std::vector<Property> &properties, const std::map<std::string, double> &further)
{
  for (const auto &[key, value] : further)
    properties.push_back({key, "", value, Property::Kind::as_given});
}
} // namespace

std::string provenance_words(Provenance provenance)
{
  switch (provenance)
  {
  case Provenance::table:
    return "published table";
  case Provenance::measured:
    return "published measurement";
  case Provenance::derived:
    return "derived";
  case Provenance::estimate:
    return "ESTIMATE";
  case Provenance::memory:
    return "FROM MEMORY or common practice";
  }
  return "";
}

std::string materials_list(const std::map<std::string, Material> &materials, const std::map<std::string, Adhesive> &adhesives)
{
  auto text = fmt::format("{:<20} {:<16}{:>7}{:>9}  {}\n", "name", "kind", "kg/m3", "E_L GPa", "material");
  for (const auto &[name, material] : materials)
    text += fmt::format("{:<20} {:<16}{:>7.0f}{:>9.1f}  {}\n", name, kind_words(material.kind), material.density,
                        material.constants.E_L / gigapascal, material.title);
  text += fmt::format("\n{:<20} {:<16}{:>7}{:>9}  {}\n", "name", "", "kg/m3", "G GPa", "adhesive");
  for (const auto &[name, adhesive] : adhesives)
    text += fmt::format("{:<20} {:<16}{:>7.0f}{:>9.2f}  {}\n", name, "adhesive", adhesive.density,
                        adhesive.shear_modulus / gigapascal, adhesive.title);
  return text + "\n'limbwright materials NAME' shows every value of one with its source.\n";
}

std::string material_table(const Material &material)
{
  using Kind = Property::Kind;
  const auto &c = material.constants;
  const auto &s = material.strengths;
  std::vector<Property> properties{
      {"density", "", material.density, Kind::density},
      {"E_L", "modulus along the grain", c.E_L, Kind::modulus},
      {"E_R", "modulus, radial", c.E_R, Kind::modulus},
      {"E_T", "modulus, tangential", c.E_T, Kind::modulus},
      {"G_LR", "shear modulus", c.G_LR, Kind::modulus},
      {"G_LT", "shear modulus", c.G_LT, Kind::modulus},
      {"G_RT", "shear modulus, rolling", c.G_RT, Kind::modulus},
      {"nu_LR", "stress along L, strain along R", c.nu_LR, Kind::plain},
      {"nu_LT", "stress along L, strain along T", c.nu_LT, Kind::plain},
      {"nu_RT", "stress along R, strain along T", c.nu_RT, Kind::plain},
      {"tension_L", "strength in tension along the grain", s.tension_L, Kind::strength},
      {"compression_L", "crushing strength along the grain", s.compression_L, Kind::strength},
      {"tension_R", "strength in tension, radial", s.tension_R, Kind::strength},
      {"compression_R", "strength in compression, radial", s.compression_R, Kind::strength},
      {"tension_T", "strength in tension, tangential", s.tension_T, Kind::strength},
      {"compression_T", "strength in compression, tangential", s.compression_T, Kind::strength},
      {"shear_LR", "shear strength", s.shear_LR, Kind::strength},
      {"shear_LT", "shear strength", s.shear_LT, Kind::strength},
      {"shear_RT", "shear strength, rolling", s.shear_RT, Kind::strength},
      {"yield_ratio", "proportional limit over crushing", material.crushing.yield_ratio, Kind::plain},
      {"crushing_hardening_strain", "", material.crushing.hardening_strain, Kind::plain},
      {"modulus_of_rupture", "bending strength, standard test", material.modulus_of_rupture, Kind::strength},
      {"modulus_of_elasticity", "bending modulus, standard test", material.modulus_of_elasticity, Kind::modulus}};
  if (std::isfinite(material.crushing.falling))
    properties.insert(properties.end(),
                      {{"crushing_falling", "stress lost per plastic strain", material.crushing.falling, Kind::modulus},
                       {"crushing_fall_from", "plastic strain", material.crushing.fall_from, Kind::plain},
                       {"crushing_floor", "stress it falls to", material.crushing.floor, Kind::strength}});
  add_further(properties, material.further);
  return fmt::format("{}: {} ({})\n", material.name, material.title, kind_words(material.kind)) +
         rows(properties, material.sources);
}

std::string adhesive_table(const Adhesive &adhesive)
{
  using Kind = Property::Kind;
  std::vector<Property> properties{{"density", "", adhesive.density, Kind::density},
                                   {"youngs_modulus", "", adhesive.youngs_modulus, Kind::modulus},
                                   {"shear_modulus", "", adhesive.shear_modulus, Kind::modulus},
                                   {"tensile_strength", "strength in peel", adhesive.tensile_strength, Kind::strength},
                                   {"shear_strength", "", adhesive.shear_strength, Kind::strength},
                                   {"fracture_energy_I", "opening", adhesive.fracture_energy_I, Kind::energy_per_area},
                                   {"fracture_energy_II", "shearing", adhesive.fracture_energy_II, Kind::energy_per_area}};
  add_further(properties, adhesive.further);
  return fmt::format("{}: {} (adhesive)\n", adhesive.name, adhesive.title) + rows(properties, adhesive.sources);
}
} // namespace limbwright
