#include "cases/study/scatter.h"

#include "cases/reader/nearest_name.h"
#include "cases/reader/units.h"
#include "cases/report/output_units.h"

#include <boost/math/distributions/normal.hpp>
#include <boost/random/sobol.hpp>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <random>

namespace limbwright
{
namespace
{
struct Size
{
  const char *name;
  double ScatterSizes::*size;
  Dimension dimension;
};

constexpr Size size_list[] = {{"wood_thickness", &ScatterSizes::wood_thickness, Dimension::length},
                              {"glass_thickness", &ScatterSizes::glass_thickness, Dimension::length},
                              {"wood_modulus", &ScatterSizes::wood_modulus, Dimension::ratio},
                              {"glass_modulus", &ScatterSizes::glass_modulus, Dimension::ratio},
                              {"wood_density", &ScatterSizes::wood_density, Dimension::ratio},
                              {"wood_strength", &ScatterSizes::wood_strength, Dimension::ratio},
                              {"width", &ScatterSizes::width, Dimension::ratio},
                              {"draw", &ScatterSizes::draw, Dimension::length},
                              {"brace", &ScatterSizes::brace, Dimension::length}};

std::string trimmed(const std::string &text)
{
  const auto from = text.find_first_not_of(" \t"), to = text.find_last_not_of(" \t");
  return from == std::string::npos ? std::string{} : text.substr(from, to - from + 1);
}

/// The strengths of a piece of wood whose modulus is off by a share, and which is off by itself in standard deviations. scatter:
/// [1] of compression along the grain.
void strengthen(Material &material, double scatter, double modulus_off, double own_deviates)
{
  for (auto [variation, values] : varying_strengths(material))
  {
    variation.deviation *= scatter / wood_variation::compression.deviation;
    for (double *strength : values)
      *strength *= strength_over_species(variation, modulus_off / wood_variation::modulus, own_deviates);
  }
}
} // namespace

void stiffen(Material &material, double factor)
{
  for (double *modulus : {&material.constants.E_L, &material.constants.E_R, &material.constants.E_T, &material.constants.G_LR,
                          &material.constants.G_LT, &material.constants.G_RT})
    *modulus *= factor;
}

void set_scatter(ScatterSizes &sizes, const std::string &text, std::string &error)
{
  const auto equals = text.find('=');
  const std::string name = trimmed(text.substr(0, equals));
  std::vector<std::string> known;
  for (const Size &size : size_list)
  {
    known.emplace_back(size.name);
    if (name != size.name)
      continue;
    const Quantity value =
        parse_quantity(equals == std::string::npos ? std::string{} : trimmed(text.substr(equals + 1)), size.dimension);
    const double most = size.dimension == Dimension::ratio ? 0.3 : inch; // three of them must leave something
    if (!value.error.empty() || value.value < 0. || value.value > most)
      error =
          fmt::format("{}: {}", name,
                      value.error.empty() ? fmt::format("a standard deviation is from 0 to {}", most == inch ? "1 in" : "30 %")
                                          : value.error);
    sizes.*size.size = value.value;
    return;
  }
  error = fmt::format("no scatter is named {}; {}", in_quotes(name), name_advice(name, known));
}

std::string scatter_words(const ScatterSizes &sizes)
{
  std::string text;
  for (const Size &size : size_list)
    text += size.dimension == Dimension::ratio ? fmt::format("{} = {:.4g} %\n", size.name, sizes.*size.size / percent)
                                               : fmt::format("{} = {:.4g} in\n", size.name, sizes.*size.size / inch);
  return text;
}

std::vector<Tolerance> tolerances_of(const Case &bow_case, const ScatterSizes &sizes)
{
  using Kind = Tolerance::Kind;
  std::vector<Tolerance> list;
  const auto add = [&list](Kind kind, int lamination, double deviation, const std::string &words)
  {
    if (deviation > 0.)
      list.push_back({kind, lamination, deviation, words});
  };
  const auto &laminations = bow_case.bow.upper.laminations;
  for (std::size_t i = 0; i < laminations.size(); ++i)
  {
    if (laminations[i].split_off)
      continue; // one piece of wood with the one before it
    const MaterialKind kind = bow_case.bow.materials.at(laminations[i].material).kind;
    const bool wood = kind == MaterialKind::wood || kind == MaterialKind::bamboo;
    const int index = static_cast<int>(i);
    const std::string &name = laminations[i].name;
    // A piece that feathers out is ground to its feather: it has no thickness to be off by.
    const double thinnest = *std::min_element(laminations[i].thickness.value.begin(), laminations[i].thickness.value.end());
    const double off = wood ? sizes.wood_thickness : sizes.glass_thickness;
    if (thinnest > 4. * off)
      add(Kind::thickness, index, off, "thickness of " + name);
    add(Kind::modulus, index, wood ? sizes.wood_modulus : sizes.glass_modulus, "modulus of " + name);
    if (wood)
    {
      add(Kind::strength, index, sizes.wood_strength, "strength of " + name + " at its modulus");
      add(Kind::density, index, sizes.wood_density, "density of " + name);
    }
  }
  add(Kind::width, -1, sizes.width, "width");
  add(Kind::draw, -1, sizes.draw, "draw length");
  add(Kind::brace, -1, sizes.brace, "brace height");
  return list;
}

Case as_built(const Case &bow_case, const std::vector<Tolerance> &tolerances, const std::vector<double> &deviations)
{
  using Kind = Tolerance::Kind;
  Case built = bow_case;
  BowDescription &bow = built.bow;
  std::vector<LimbDescription *> limbs{&bow.upper};
  if (bow.lower)
    limbs.push_back(&*bow.lower);
  // Every lamination has a material of its own.
  for (std::size_t k = 0; k < limbs.size(); ++k)
    for (std::size_t i = 0, first = 0; i < limbs[k]->laminations.size(); ++i)
    {
      if (!limbs[k]->laminations[i].split_off)
        first = i;
      std::string &name = limbs[k]->laminations[i].material;
      const std::string own = fmt::format("{}#{}", name, first + 1);
      bow.materials.try_emplace(own, bow.materials.at(name));
      name = own;
    }
  const auto modulus_off = [&](int lamination) // [1]
  {
    for (std::size_t t = 0; t < tolerances.size(); ++t)
      if (tolerances[t].kind == Kind::modulus && tolerances[t].lamination == lamination)
        return tolerances[t].deviation * deviations[t];
    return 0.;
  };
  for (std::size_t t = 0; t < tolerances.size(); ++t)
  {
    const Tolerance &tolerance = tolerances[t];
    const double off = tolerance.deviation * deviations[t];
    if (tolerance.kind == Kind::draw)
      bow.full_draw += off;
    if (tolerance.kind == Kind::brace)
      bow.brace_height += off;
    if (tolerance.kind == Kind::width)
      for (LimbDescription *limb : limbs)
        for (double &width : limb->width.value)
          width *= 1. + off;
    if (tolerance.lamination < 0)
      continue;
    const auto i = static_cast<std::size_t>(tolerance.lamination);
    Material &material = bow.materials.at(limbs.front()->laminations[i].material);
    if (tolerance.kind == Kind::modulus)
      stiffen(material, 1. + off);
    if (tolerance.kind == Kind::strength)
      strengthen(material, tolerance.deviation, modulus_off(tolerance.lamination), deviations[t]);
    if (tolerance.kind == Kind::density)
      material.density *= 1. + off;
    if (tolerance.kind == Kind::thickness)
      for (LimbDescription *limb : limbs)
        if (i < limb->laminations.size())
          for (double &thickness : limb->laminations[i].thickness.value)
            thickness += off;
  }
  return built;
}

std::vector<double> batch_point(std::uint64_t i, std::size_t n_tolerances, std::uint64_t seed)
{
  boost::random::sobol sequence(n_tolerances);
  sequence.discard(i * n_tolerances);
  std::mt19937_64 shift(seed);
  const double range = std::ldexp(1., 64);
  const boost::math::normal normal;
  std::vector<double> point;
  for (std::size_t d = 0; d < n_tolerances; ++d)
  {
    const double share = static_cast<double>(sequence()) / range + static_cast<double>(shift()) / range;
    constexpr double least = 0.00135; // three deviations below the mean
    point.push_back(boost::math::quantile(normal, std::clamp(share - std::floor(share), least, 1. - least)));
  }
  return point;
}
} // namespace limbwright
