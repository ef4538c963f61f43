#include "cases/study/strip_match.h"

#include "cases/report/output_units.h"
#include "cases/study/scatter.h"
#include "cases/study/strip_flex.h"
#include "solver/stages/drawn_bow.h"

#include <Eigen/LU>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace limbwright
{
namespace
{
// How much a difference counts when strips are paired: a bow's tiller is told by sixteenths, its weight by pounds. Our judgement.
constexpr double tiller_unit = inch / 16., weight_unit = pound_force;
constexpr std::size_t most_combinations = 2'000'000;
constexpr int most_corrections = 5;
// First-order changes are taken over so little that what is of second order does not show: a slender limb's is large.
constexpr double small_way = 1e-4, small_core = 2e-4 * thou;
constexpr double tiller_tolerance = inch / 64.; // [m] finer is not measured on a tiller tree

std::array<LimbDescription *, 2> both_limbs(Case &bow_case)
{
  return {&bow_case.bow.upper, &*bow_case.bow.lower};
}

std::size_t lamination_index(const LimbDescription &limb, const std::string &name)
{
  const auto found =
      std::find_if(limb.laminations.begin(), limb.laminations.end(), [&](const auto &one) { return one.name == name; });
  return static_cast<std::size_t>(found - limb.laminations.begin());
}

/// Gives a table the knots of another one besides its own, its values unchanged.
void add_knots_of(StationTable &table, const StationTable &other)
{
  std::vector<double> stations = table.station;
  for (const double s : other.station)
    if (std::none_of(stations.begin(), stations.end(), [s](double have) { return std::abs(have - s) < 1e-4; }))
      stations.push_back(s);
  std::sort(stations.begin(), stations.end());
  StationTable finer{{}, {}, table.smooth || table.station.size() <= 2, table.level_before, table.level_after};
  for (const double s : stations)
  {
    finer.station.push_back(s);
    finer.value.push_back(table.at(s));
  }
  table = std::move(finer);
}

/// Every lamination with a material of its own, so that one strip's modulus can differ from another's.
void part_materials(Case &bow_case)
{
  const auto limbs = both_limbs(bow_case);
  for (std::size_t k = 0; k < 2; ++k)
    for (std::size_t i = 0; i < limbs[k]->laminations.size(); ++i)
    {
      std::string &name = limbs[k]->laminations[i].material;
      const std::string own = fmt::format("{} {} {}", name, k == 0 ? "upper" : "lower", i + 1);
      bow_case.bow.materials[own] = bow_case.bow.materials.at(name);
      bow_case.bow.materials[own].name = own;
      name = own;
    }
}

/// Puts a strip into a limb, or only a share of the way from what is there to it.
void put_strip(Case &bow_case, std::size_t limb, const MeasuredStrip &strip, double modulus_share, double way = 1.)
{
  LimbDescription &into = *both_limbs(bow_case)[limb];
  LaminationDescription &lamination = into.laminations[lamination_index(into, strip.lamination)];
  Material &material = bow_case.bow.materials.at(lamination.material);
  if (!strip.thickness.empty())
  {
    add_knots_of(lamination.thickness, strip.thickness);
    for (std::size_t i = 0; i < lamination.thickness.station.size(); ++i)
    {
      double &value = lamination.thickness.value[i];
      value += way * (strip.thickness.at(lamination.thickness.station[i]) - value);
    }
  }
  stiffen(material, 1. + way * (modulus_share - 1.));
  if (std::isfinite(strip.density))
    material.density += way * (strip.density - material.density);
}

/// What a strip does in the place of what was drawn up, to first order. alike: the limbs are, so that one tells of the other.
void find_effect(const DrawnBow &bow, const Case &base, const MeasuredStrip &strip, bool alike, StripEffect &effect)
{
  for (std::size_t limb = 0; limb < (alike ? 1 : 2); ++limb)
    // Where the mesh would gain a row of elements on one side, it does not on the other.
    for (const double way : {small_way, -small_way})
    {
      Case moved = base;
      put_strip(moved, limb, strip, effect.modulus_share, way);
      try
      {
        const DrawResults changed = bow.changed(bow_in_use(moved).bow);
        effect.weight[limb] = (changed.draw_weight - bow.results().draw_weight) / way;
        effect.tiller[limb] = (changed.gaps_full.tiller() - bow.results().gaps_full.tiller()) / way;
        break;
      }
      catch (const std::invalid_argument &)
      {
        if (way < 0.)
          throw;
      }
    }
  if (alike)
  {
    effect.weight[1] = effect.weight[0];
    effect.tiller[1] = -effect.tiller[0];
  }
}

/// The best of all combinations of pairs; complains in `match`.
void choose_pairs(const Case &bow_case, StripMatch &match)
{
  const auto &strips = bow_case.measured.strips;
  struct Place
  {
    std::string lamination;
    std::vector<std::array<std::size_t, 2>> pairs;
  };
  std::vector<Place> places;
  double combinations = 1.;
  for (const LaminationDescription &lamination : bow_case.bow.upper.laminations)
  {
    Place place{lamination.name, {}};
    for (std::size_t a = 0; a < strips.size(); ++a)
      for (std::size_t b = 0; b < strips.size(); ++b)
        if (a != b && strips[a].lamination == lamination.name && strips[b].lamination == lamination.name)
          place.pairs.push_back({a, b});
    const auto n_listed = std::count_if(strips.begin(), strips.end(),
                                        [&](const MeasuredStrip &strip) { return strip.lamination == lamination.name; });
    if (n_listed == 1)
      match.reason = fmt::format("only one strip is listed for '{}'; a bow takes one for each limb", lamination.name);
    if (!place.pairs.empty())
    {
      combinations *= static_cast<double>(place.pairs.size());
      places.push_back(std::move(place));
    }
  }
  if (places.empty() && match.reason.empty())
    match.reason = "no strips are listed; give [[measured.strip]] tables, at least two for a lamination";
  if (combinations > static_cast<double>(most_combinations))
    match.reason = fmt::format("the strips can be paired in {:.1g} ways, and at most {:.1g} are tried; list fewer at a time",
                               combinations, static_cast<double>(most_combinations));
  if (!match.reason.empty())
    return;
  std::vector<std::size_t> choice(places.size(), 0), best = choice;
  double least = std::numeric_limits<double>::infinity();
  for (bool more = true; more;)
  {
    double weight = match.nominal_weight - match.aim, tiller = 0.;
    for (std::size_t p = 0; p < places.size(); ++p)
      for (std::size_t limb = 0; limb < 2; ++limb)
      {
        const StripEffect &effect = match.effects[places[p].pairs[choice[p]][limb]];
        weight += effect.weight[limb];
        tiller += effect.tiller[limb];
      }
    if (const double score = std::hypot(tiller / tiller_unit, weight / weight_unit); score < least - 1e-9)
    {
      least = score;
      best = choice;
    }
    more = false;
    for (std::size_t p = 0; p < places.size() && !more; ++p)
      if (more = ++choice[p] < places[p].pairs.size(); !more)
        choice[p] = 0;
  }
  for (std::size_t p = 0; p < places.size(); ++p)
    match.pairs.push_back({places[p].lamination, places[p].pairs[best[p]]});
}

Case ground(const Case &paired, const Resizing &core, const std::array<double, 2> &amount)
{
  // Each limb by itself: the other one's stays.
  Case both = paired;
  both.bow.upper = resized(paired, core, amount[0]).bow.upper;
  both.bow.lower = resized(paired, core, amount[1]).bow.lower;
  return both;
}

/// What adding to the core of one limb does: weight [N/m], tiller [m/m].
Eigen::Vector2d core_rate(const DrawnBow &bow, const Case &paired, const StripMatch &match, std::size_t limb)
{
  // Where the mesh would gain a row of elements on one side, it does not on the other.
  for (const double small : {-small_core, small_core})
  {
    std::array<double, 2> amount = match.amount;
    amount[limb] += small;
    try
    {
      const DrawResults changed = bow.changed(bow_in_use(ground(paired, match.core, amount)).bow);
      return Eigen::Vector2d(changed.draw_weight - match.weight, changed.gaps_full.tiller() - match.tiller) / small;
    }
    catch (const std::invalid_argument &)
    {
      if (small > 0.)
        throw;
    }
  }
  return Eigen::Vector2d::Zero();
}
} // namespace

Case two_limbed(const Case &bow_case)
{
  Case two = bow_case;
  if (!two.bow.lower)
    two.bow.lower = two.bow.upper;
  return two;
}

StripMatch match_strips(const Case &bow_case, double aim, const std::function<void(const std::string &)> &told,
                        const std::atomic<bool> *stop)
{
  StripMatch match;
  const auto &strips = bow_case.measured.strips;
  const auto tell = [&](const std::string &words)
  {
    if (told)
      told(words);
  };
  const auto stopped = [&] { return match.interrupted = stop != nullptr && stop->load(); };
  const auto is_drawn = [&](const DrawnBow &bow, const std::string &which)
  {
    ++match.solutions;
    if (!bow.results().complete)
      match.reason = which + " cannot be drawn: " + bow.results().reason;
    return bow.results().complete;
  };
  Case base = two_limbed(bow_case);
  const BowInUse in_use = bow_in_use(base);
  part_materials(base);
  for (const MeasuredStrip &strip : strips)
    for (LimbDescription *limb : both_limbs(base))
      if (!strip.thickness.empty())
        add_knots_of(limb->laminations[lamination_index(*limb, strip.lamination)].thickness, strip.thickness);
  {
    const DrawnBow bow(bow_in_use(base).bow, base.mesh, base.solve, stop);
    if (stopped())
      return match;
    if (!is_drawn(bow, "the bow as designed"))
      return match;
    match.nominal_weight = bow.results().draw_weight;
    match.nominal_tiller = bow.results().gaps_full.tiller();
    match.aim = std::isfinite(aim) ? aim : match.nominal_weight;
    tell(fmt::format("as designed: {:.2f} lb", match.nominal_weight / pound_force));
    for (const MeasuredStrip &strip : strips)
    {
      const LimbDescription &limb = bow_case.bow.upper;
      const LaminationDescription &lamination = limb.laminations[lamination_index(limb, strip.lamination)];
      const Material &material = in_use.bow.materials.at(lamination.material);
      StripEffect effect;
      if (strip.flexed())
        effect.modulus_share = strip_modulus(strip, lamination, material) / material.constants.E_L;
      find_effect(bow, base, strip, !bow_case.bow.lower, effect);
      match.effects.push_back(effect);
      if (stopped())
        return match;
    }
  }
  choose_pairs(bow_case, match);
  std::string error;
  const auto core = resizing(bow_case, "core", error);
  if (!match.reason.empty() || !core)
  {
    match.reason = match.reason.empty() ? error : match.reason;
    return match;
  }
  match.core = *core;
  Case paired = base;
  for (const StripPair &pair : match.pairs)
    for (std::size_t limb = 0; limb < 2; ++limb)
      put_strip(paired, limb, strips[pair.strip[limb]], match.effects[pair.strip[limb]].modulus_share);
  match.built = paired;
  for (int correction = 0; correction <= most_corrections; ++correction)
  {
    Case trial = ground(paired, match.core, match.amount);
    const DrawnBow bow(bow_in_use(trial).bow, trial.mesh, trial.solve, stop);
    if (stopped())
      return match;
    if (!is_drawn(bow, "the bow with these strips"))
      return match;
    match.weight = bow.results().draw_weight;
    match.tiller = bow.results().gaps_full.tiller();
    match.built = std::move(trial);
    if (correction == 0)
    {
      match.paired_weight = match.weight;
      match.paired_tiller = match.tiller;
    }
    tell(fmt::format("core {:+.4f} in upper, {:+.4f} in lower: {:.2f} lb, tiller {:+.3f} in", match.amount[0] / inch,
                     match.amount[1] / inch, match.weight / pound_force, match.tiller / inch));
    match.complete = true;
    const Eigen::Vector2d off(match.aim - match.weight, match.nominal_tiller - match.tiller);
    match.reached = std::abs(off[0]) <= weight_tolerance && std::abs(off[1]) <= tiller_tolerance;
    if (match.reached || correction == most_corrections)
      return match;
    Eigen::Matrix2d rate;
    for (std::size_t limb = 0; limb < 2; ++limb)
      rate.col(static_cast<Eigen::Index>(limb)) = core_rate(bow, paired, match, limb);
    const Eigen::Vector2d step = rate.partialPivLu().solve(off);
    for (std::size_t limb = 0; limb < 2; ++limb)
      match.amount[limb] =
          std::clamp(match.amount[limb] + step[static_cast<Eigen::Index>(limb)], match.core.lowest, match.core.highest);
  }
  return match;
}
} // namespace limbwright
