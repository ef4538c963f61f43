#include "materials/conditions.h"

#include "materials/wood_variation.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace limbwright
{
namespace
{
// Change of clear wood between 12 % moisture and 6 or 20 %: Wood Handbook 2021 (FPL-GTR-282) Table 5-14, middle trends, from
// memory. Held beyond.
constexpr const char *table_5_14 = "Wood Handbook 2021 (FPL-GTR-282), Table 5-14, middle trends of clear wood at 6 and 20 % "
                                   "moisture, linear between (from memory)";

struct Trend
{
  double at_low, at_high; //!< [1] change
};

double by_moisture(const Trend trend, const double moisture)
{
  const double share = std::clamp(moisture < .12 ? (.12 - moisture) / .06 : (moisture - .12) / .08, 0., 1.);
  return 1. + share * (moisture < .12 ? trend.at_low : trend.at_high);
}

// Change from 20 degC to -50 and +50 degC at 12 % moisture or about it, linear between (the Handbook's text).
constexpr const char *table_5_15 = "Wood Handbook 2021 (FPL-GTR-282), Table 5-15, -50 and +50 degC, linear between";
constexpr const char *table_5_15_green = "Wood Handbook 2021 (FPL-GTR-282), Table 5-15, +50 degC, printed for green wood only";

double by_temperature(const Trend trend, const double kelvin)
{
  const double above = kelvin - 293.15;
  return 1. + (above < 0. ? trend.at_low * above / -70. : trend.at_high * above / 30.);
}

bool warm_or_cold(const Conditions &conditions)
{
  return conditions.temperature && std::abs(*conditions.temperature - 293.15) > .01;
}

/// A group of properties that change together; the key of the first speaks for their stated condition.
struct Group
{
  std::vector<std::pair<const char *, double *>> members;
};

struct Groups
{
  Group along, across, shear_moduli;
  Group compression, tension, shear, tension_across, compression_across, bending;
};

Groups groups_of(Material &m)
{
  OrthotropicConstants &c = m.constants;
  Strengths &s = m.strengths;
  return {{{{"E_L", &c.E_L}, {"modulus_of_elasticity", &m.modulus_of_elasticity}}},
          {{{"E_R", &c.E_R}, {"E_T", &c.E_T}}},
          {{{"G_LR", &c.G_LR}, {"G_LT", &c.G_LT}, {"G_RT", &c.G_RT}}},
          {{{"compression_L", &s.compression_L}}},
          {{{"tension_L", &s.tension_L}}},
          {{{"shear_LR", &s.shear_LR}, {"shear_LT", &s.shear_LT}, {"shear_RT", &s.shear_RT}}},
          {{{"tension_R", &s.tension_R}, {"tension_T", &s.tension_T}}},
          {{{"compression_R", &s.compression_R}, {"compression_T", &s.compression_T}}},
          {{{"modulus_of_rupture", &m.modulus_of_rupture}}}};
}

/// Multiplies the groups of one material and keeps the list.
class Multiplier
{
public:
  Multiplier(Material &material, std::vector<Adjustment> &list) : material_(material), list_(list) {}

  void apply(const char *cause, const std::vector<const Group *> &groups, const double factor, const std::string &source)
  {
    std::string keys;
    for (const Group *group : groups)
      for (const auto &[key, value] : group->members)
        if (!std::isnan(*value))
        {
          *value *= factor;
          keys += (keys.empty() ? "" : ", ") + std::string(key);
        }
    if (!keys.empty())
      list_.push_back({material_.name, cause, keys, factor, source});
  }
  void left(const char *cause, const std::string &keys, const std::string &why)
  {
    list_.push_back({material_.name, cause, keys, 1., why});
  }

private:
  Material &material_;
  std::vector<Adjustment> &list_;
};

bool stated_at_12_percent(const Material &material, const char *key)
{
  const auto source = material.sources.find(key);
  return source != material.sources.end() && source->second.conditions.find("12 % moisture") != std::string::npos;
}

void to_moisture(const Material &given, const Groups &groups, const double moisture, Multiplier &multiply)
{
  const auto green = [&](const char *key)
  {
    const auto found = given.further.find(key);
    return found == given.further.end() ? unknown_property : found->second;
  };
  if (std::isnan(green("green_compression_L")) && std::isnan(green("green_modulus_of_elasticity")))
  {
    multiply.left("moisture", "all", "no values of green wood are known for it: as given");
    return;
  }
  const auto intersection = given.further.find("moisture_intersection");
  const double M_p = intersection == given.further.end() ? .25 : intersection->second;
  const auto change = [&](const std::vector<const Group *> &changed, double value, const char *green_key, const Trend trend)
  {
    const char *key = changed.front()->members.front().first;
    if (std::isnan(*changed.front()->members.front().second))
      return;
    if (!stated_at_12_percent(given, key))
      multiply.left("moisture", key, "its value is not stated for 12 % moisture: as given");
    else if (green_key != nullptr && !std::isnan(green(green_key)) && !std::isnan(value))
      multiply.apply("moisture", changed, at_moisture(value, green(green_key), M_p, moisture) / value,
                     "Wood Handbook 2021 (FPL-GTR-282), eq. 5-3, from the values dry and green");
    else
      multiply.apply("moisture", changed, by_moisture(trend, moisture), table_5_14);
  };
  // A modulus that the maker has measured keeps its neighbours as well: one stiffness, one state.
  if (stated_at_12_percent(given, "E_L"))
  {
    change({&groups.along}, given.modulus_of_elasticity, "green_modulus_of_elasticity", {.09, -.13});
    change({&groups.across}, unknown_property, nullptr, {.20, -.23});
    change({&groups.shear_moduli}, unknown_property, nullptr, {.20, -.20});
  }
  else
    multiply.left("moisture", "E_L and the other moduli", "E_L is not stated for 12 % moisture: as given");
  change({&groups.compression}, given.strengths.compression_L, "green_compression_L", {.35, -.35});
  change({&groups.bending}, given.modulus_of_rupture, "green_modulus_of_rupture", {.30, -.25});
  change({&groups.shear}, given.strengths.shear_LR, "green_shear", {.18, -.18});
  // Tension along the grain hardly changes (it peaks near 8 to 10 %); no dry and green pairs are known for a species.
  change({&groups.tension}, unknown_property, nullptr, {.08, -.15});
  change({&groups.tension_across}, unknown_property, nullptr, {.12, -.20});
  change({&groups.compression_across}, unknown_property, nullptr, {.30, -.30});
}

void to_temperature(const Groups &g, const double kelvin, Multiplier &multiply)
{
  const bool cold = kelvin < 293.15;
  const auto change = [&](const std::vector<const Group *> &groups, const Trend trend, const char *source)
  { multiply.apply("temperature", groups, by_temperature(trend, kelvin), source); };
  change({&g.along}, {.17, -.07}, table_5_15);
  change({&g.compression}, {.50, -.25}, table_5_15);
  change({&g.bending}, {.35, -.20}, table_5_15);
  if (cold)
    multiply.left("temperature", "all but E_L and strengths in compression and bending", "no values for cold wood: as given");
  else
  {
    change({&g.tension}, {0., -.04}, table_5_15);
    change({&g.across, &g.compression_across}, {0., -.35}, table_5_15);
    change({&g.tension_across}, {0., -.20}, table_5_15);
    change({&g.shear_moduli, &g.shear}, {0., -.25}, table_5_15_green);
  }
}

// Strengths only. A stiffer or softer piece draws heavier or lighter, which tillering sees; it is not to be guessed.
void to_quality(const Groups &g, const double share, Multiplier &multiply)
{
  // Coefficients of variation and their source: materials/wood_variation.h.
  const char *source = "coefficient of variation of clear wood, Wood Handbook (Kretschmann 2010, FPL-GTR-190), Table 5-6, normal "
                       "distribution";
  const char *source_across = "coefficient of variation taken as along the grain (Wood Handbook, Table 5-6 has none)";
  const auto change = [&](const Group &group, const WoodVariation &variation, const char *from)
  { multiply.apply("quality", {&group}, std::max(least_strength, 1. + normal_quantile(share) * variation.deviation), from); };
  change(g.compression, wood_variation::compression, source);
  change(g.tension, wood_variation::tension, source);
  change(g.shear, wood_variation::shear, source);
  change(g.compression_across, wood_variation::compression_across, source);
  change(g.bending, wood_variation::bending, source);
  change(g.tension_across, wood_variation::tension_across, source_across);
}
} // namespace

bool softens(const Adhesive &adhesive, const Conditions &conditions, std::vector<Adjustment> &adjustments)
{
  if (!warm_or_cold(conditions))
    return false;
  const auto softening = adhesive.further.find("softening_temperature");
  const bool soft = softening != adhesive.further.end() && *conditions.temperature >= softening->second;
  adjustments.push_back(
      {adhesive.name, "temperature", "all", 1.,
       soft ? "as warm as where it softens: as given, but it cannot be counted on" : "no data for it: as given"});
  return soft;
}

double at_moisture(const double at_12_percent, const double green, const double intersection, const double moisture)
{
  return moisture >= intersection ? green
                                  : at_12_percent * std::pow(at_12_percent / green, (.12 - moisture) / (intersection - .12));
}

double size_factor(const StressedSize &size)
{
  constexpr double m = 18., inch = .0254;
  return std::pow(2. * inch * 28. * inch / (size.depth * size.length * (1. + m)), 1. / m);
}

// Gerhards 1977 (FPL 283) and Wood Handbook ch. 5, from memory: about 8 %. It lies between the 6.3 % of Wood's 1947 line and his
// curve of 1951, 18.3 + 108.4 t^-0.0464 % of the strength, t in s (both as cited in Forests 12(9), 1148, 2021).
double duration_factor(const double seconds)
{
  return std::max(.18, 1. - .08 * std::log10(seconds / 300.));
}

double normal_quantile(const double share)
{
  double low = -8., high = 8.;
  for (int i = 0; i < 60; ++i)
  {
    const double middle = .5 * (low + high);
    (.5 * std::erfc(-middle / std::numbers::sqrt2) < share ? low : high) = middle;
  }
  return .5 * (low + high);
}

Material adjusted(const Material &material, const Conditions &conditions, const StressedSize &size,
                  std::vector<Adjustment> &adjustments)
{
  Material result = material;
  Multiplier multiply(result, adjustments);
  if (material.kind != MaterialKind::wood)
  {
    const bool like_wood = material.kind == MaterialKind::bamboo;
    if (warm_or_cold(conditions))
      multiply.left("temperature", "all", "no data for it: as given");
    if (like_wood && (conditions.moisture || conditions.seconds || conditions.quality || conditions.size))
      multiply.left("moisture, time, quality, size", "all", "no data for bamboo: as given");
    return result;
  }
  const Groups g = groups_of(result);
  if (conditions.moisture)
    to_moisture(material, g, *conditions.moisture, multiply);
  if (warm_or_cold(conditions))
    to_temperature(g, *conditions.temperature, multiply);
  if (conditions.seconds)
    multiply.apply("time at full draw",
                   {&g.compression, &g.tension, &g.shear, &g.tension_across, &g.compression_across, &g.bending},
                   duration_factor(*conditions.seconds),
                   "about 8 % a decade of time against 300 s in the test (Gerhards 1977, FPL 283, and Wood Handbook ch. 5, from "
                   "memory)");
  if (conditions.quality)
    to_quality(g, *conditions.quality, multiply);
  if (conditions.size)
    multiply.apply("size", {&g.tension, &g.bending}, size_factor(size),
                   "Bohannan 1966, FPL 56, m = 18, limb bent evenly against centre load on 2 x 2 x 28 in");
  return result;
}
} // namespace limbwright
