#include "cases/report/page/page_parts.h"

#include "cases/report/material_tables.h"

#include <cmath>

namespace limbwright
{
namespace
{
struct Told
{
  const char *key, *name;
  double value;
  const ToldUnit &unit;
};

PageJson values_of(const std::vector<Told> &values, const std::map<std::string, PropertySource> &sources)
{
  PageJson rows = PageJson::array();
  for (const auto &entry : values)
  {
    if (!std::isfinite(entry.value))
      continue;
    PageJson row = {{"name", entry.name}, {"value", in_both([&](Units units) { return told(entry.value, entry.unit, units); })}};
    const auto source = sources.find(entry.key);
    row["provenance"] = source == sources.end() ? "no source stated" : provenance_words(source->second.provenance);
    row["source"] = source == sources.end() ? "" : source->second.source;
    row["sure"] = source != sources.end() &&
                  (source->second.provenance == Provenance::table || source->second.provenance == Provenance::measured);
    rows.push_back(std::move(row));
  }
  return rows;
}
} // namespace

PageJson materials_part(const StoredRun &run)
{
  PageJson list = PageJson::array();
  for (const auto &[name, m] : run.bow_case.bow.materials)
    list.push_back(
        {{"name", name},
         {"title", m.title},
         {"values", values_of({{"E_L", "modulus along the grain", m.constants.E_L, told_modulus},
                               {"tension_L", "strength in tension along the grain", m.strengths.tension_L, told_stress},
                               {"compression_L", "crushing strength along the grain", m.strengths.compression_L, told_stress},
                               {"shear_LR", "shear strength", m.strengths.shear_LR, told_glue_stress},
                               {"tension_R", "strength across the grain", m.strengths.tension_R, told_glue_stress},
                               {"density", "density", m.density, told_density}},
                              m.sources)}});
  for (const auto &[name, a] : run.bow_case.bow.adhesives)
    list.push_back({{"name", name},
                    {"title", a.title},
                    {"values", values_of({{"shear_strength", "shear strength", a.shear_strength, told_glue_stress},
                                          {"tensile_strength", "strength in peel", a.tensile_strength, told_glue_stress},
                                          {"shear_modulus", "shear modulus", a.shear_modulus, told_modulus}},
                                         a.sources)}});
  return list;
}
} // namespace limbwright
