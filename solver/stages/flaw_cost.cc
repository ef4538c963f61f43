#include "solver/stages/flaw_cost.h"

#include "meshing/shape/mending.h"
#include "solver/stages/draw_path.h"

#include <algorithm>
#include <cmath>

namespace limbwright
{
namespace
{
constexpr double alike = 0.01; // [1] of the draw: events nearer to each other than this are told as one

// Mean change of curvature [1/m] between two stations: linear between sections.
double mean_bend(const std::vector<SectionState> &sections, double from, double to)
{
  double integral = 0.;
  for (std::size_t i = 0; i + 1 < sections.size(); ++i)
  {
    const SectionState &left = sections[i], &right = sections[i + 1];
    const double a = std::max(from, left.station), b = std::min(to, right.station), length = right.station - left.station;
    if (b <= a)
      continue;
    const double middle = (0.5 * (a + b) - left.station) / length;
    integral += (b - a) * (left.curvature_change + middle * (right.curvature_change - left.curvature_change));
  }
  return integral / (to - from);
}

// Where near the flaw the limb bends most beside the other bow.
void set_bend(FlawDifference &difference, std::size_t which, const LimbSnapshot &with, const LimbSnapshot &without)
{
  std::vector<Flaw> list;
  for (const NearFlaw &near : with.flaws)
    list.push_back(near.flaw);
  const auto &sections = with.sections;
  for (const SectionState &section : sections)
  {
    const double half = 0.5 * section.stack, from = section.station - half, to = section.station + half;
    if (!counts_for(list, which, section.station) || from < sections.front().station || to > sections.back().station)
      continue;
    const double ratio = mean_bend(sections, from, to) / mean_bend(without.sections, from, to);
    if (std::isfinite(ratio) && !(ratio <= difference.bend_ratio))
    {
      difference.bend_ratio = ratio;
      difference.bend_station = section.station;
    }
  }
}

double most_set(const LetDown &down)
{
  return down.complete ? std::max(down.set_upper, down.set_lower) : not_known;
}
} // namespace

bool flawed(const BowDescription &bow)
{
  return flawed(bow.upper) || (bow.lower && flawed(*bow.lower));
}

std::vector<BowVariant> bows_beside(const BowDescription &bow)
{
  if (!flawed(bow))
    return {};
  const auto changed = [&](BowBeside kind, LimbDescription (*change)(LimbDescription))
  {
    BowVariant variant{kind, bow};
    variant.bow.upper = change(bow.upper);
    if (bow.lower)
      variant.bow.lower = change(*bow.lower);
    return variant;
  };
  std::vector<BowVariant> variants = {changed(BowBeside::sound, sound)};
  if (mended(bow.upper) || (bow.lower && mended(*bow.lower)))
    variants.push_back(changed(BowBeside::as_found, unmended));
  return variants;
}

void follow_draw(const DrawResults &described, BowDescription &variant, SolveSettings &settings)
{
  int n_steps = 0;
  for (const Snapshot &snapshot : described.snapshots)
    n_steps += snapshot.point.draw > described.brace_height * (1. + 1e-9) ? 1 : 0;
  settings.draw_steps = std::max(settings.draw_steps, std::min(n_steps, BowPath::least_steps_with_loose_layers));
  settings.overdraw = false;
  if (!described.complete)
  {
    variant.full_draw = described.draw_length;
    settings.cycles = 0;
  }
}

FlawCost cost_of_flaws(const DrawResults &described, BowBeside kind, const DrawResults &variant)
{
  FlawCost cost;
  cost.beside = kind;
  cost.draw = described.draw_length;
  if (!variant.complete)
  {
    cost.reason = variant.failed_stage + ": " + variant.reason;
    return cost;
  }
  cost.complete = true;
  cost.weight_with = described.draw_weight;
  cost.weight_without = variant.draw_weight;
  cost.energy_with = described.stored_energy;
  cost.energy_without = variant.stored_energy;
  cost.set_with = most_set(described.let_down);
  cost.set_without = most_set(variant.let_down);
  const std::vector<LimbSnapshot> &with = described.snapshots.back().limbs, &without = variant.snapshots.back().limbs;
  for (std::size_t k = 0; k < with.size(); ++k)
    for (std::size_t i = 0; i < with[k].flaws.size(); ++i)
    {
      FlawDifference difference;
      difference.limb = with[k].limb;
      difference.flaw = with[k].flaws[i].flaw;
      difference.with = with[k].flaws[i].worst;
      difference.without = without[k].flaws[i].worst;
      set_bend(difference, i, with[k], without[k]);
      cost.flaws.push_back(std::move(difference));
    }
  cost.events = variant.events;
  return cost;
}

std::vector<EventDifference> event_differences(const DrawResults &described, const FlawCost &cost)
{
  const auto same = [](const Event &a, const Event &b) { return a.kind == b.kind && a.limb == b.limb; };
  const auto first_like = [&](const std::vector<Event> &events, const Event &event)
  { return std::find_if(events.begin(), events.end(), [&](const Event &other) { return same(event, other); }); };
  std::vector<EventDifference> list;
  for (const Event &event : described.events)
  {
    if (&*first_like(described.events, event) != &event)
      continue;
    const auto other = first_like(cost.events, event);
    if (other == cost.events.end())
      list.push_back({event, std::nullopt});
    else if (event.braced != other->braced || std::abs(event.draw - other->draw) > alike * described.draw_length)
      list.push_back({event, *other});
  }
  for (const Event &event : cost.events)
    if (&*first_like(cost.events, event) == &event && first_like(described.events, event) == described.events.end())
      list.push_back({std::nullopt, event});
  const auto draw = [](const EventDifference &e) { return e.with ? e.with->draw : e.without->draw; };
  std::stable_sort(list.begin(), list.end(),
                   [&](const EventDifference &a, const EventDifference &b) { return draw(a) < draw(b); });
  return list;
}
} // namespace limbwright
