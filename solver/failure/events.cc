#include "solver/failure/events.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <optional>

namespace limbwright
{
namespace
{
// The place at which a quantity is greatest in one snapshot.
struct Reading
{
  double value = 0.;
  Event place;
};

using Quantity = std::function<Reading(const Snapshot &)>;

bool is_patch_end(const GlueLineDescription &line, double station)
{
  return std::any_of(line.patches.begin(), line.patches.end(),
                     [&](const GluePatch &patch)
                     { return std::abs(patch.from - station) < 1e-6 || std::abs(patch.to - station) < 1e-6; });
}

// Where a quantity first reaches a threshold.
struct Crossing
{
  double draw = 0.;           // [m]
  bool braced = false;        // it was there when the bow was strung
  const Snapshot *at_or_past; // the solved step that follows
};

std::optional<Crossing> first_crossing(double threshold, const std::vector<Snapshot> &snapshots,
                                       const std::function<double(const Snapshot &)> &quantity)
{
  const Snapshot *last = nullptr;
  double last_value = 0.;
  for (const Snapshot &snapshot : snapshots)
  {
    if (snapshot.stage == "unstrung")
      continue;
    const double value = quantity(snapshot), draw = snapshot.point.draw;
    if (value >= threshold)
      return last == nullptr
                 ? Crossing{draw, true, &snapshot}
                 : Crossing{last->point.draw + (draw - last->point.draw) * (threshold - last_value) / (value - last_value), false,
                            &snapshot};
    last = &snapshot;
    last_value = value;
  }
  return std::nullopt;
}
} // namespace

std::vector<Event> events_of_draw(const BowDescription &bow, const std::vector<Snapshot> &snapshots,
                                  const std::vector<double> &sudden_growth, bool wood_yields)
{
  std::vector<Event> events;
  for (const LimbName limb : {LimbName::upper, LimbName::lower})
  {
    if (limb == LimbName::lower && !bow.lower)
      continue;
    const LimbDescription &description = limb == LimbName::upper ? bow.upper : *bow.lower;
    const auto material_of = [&](int lamination) -> const Material &
    { return bow.materials.at(description.laminations[static_cast<std::size_t>(lamination)].material); };
    // The greatest index among the spots of some modes; the factor turns a spot's index into the quantity.
    const auto worst = [&](const Snapshot &snapshot, const std::function<double(const HotSpot &)> &factor)
    {
      Reading reading;
      for (const HotSpot &spot : snapshot.worst)
        if (const double value = spot.limb == limb ? factor(spot) * spot.index : 0.; value > reading.value)
        {
          reading.value = value;
          reading.place.station = spot.station;
          reading.place.lamination = spot.lamination;
          reading.place.glue_line = spot.glue_line;
          reading.place.mode = spot.mode;
        }
      return reading;
    };
    const auto add = [&](Event::Kind kind, double threshold, const Quantity &quantity)
    {
      if (const auto crossing = first_crossing(threshold, snapshots, [&](const Snapshot &s) { return quantity(s).value; }))
      {
        Event event = quantity(*crossing->at_or_past).place;
        event.kind = kind;
        event.limb = limb;
        event.draw = crossing->draw;
        event.braced = crossing->braced;
        events.push_back(event);
      }
    };
    // The set index counts by the crushing strength; yielding begins below it, at the proportional limit. Elastic wood has one
    // too.
    add(Event::Kind::first_yield, 1.,
        [&](const Snapshot &snapshot)
        {
          return worst(snapshot,
                       [&](const HotSpot &spot)
                       {
                         if (!wood_yields || spot.mode != FailureMode::belly_set)
                           return 0.;
                         const auto law = crushing_law(material_of(spot.lamination));
                         return law ? law->strength / law->yield : 0.;
                       });
        });
    const Quantity yielded = [&](const Snapshot &snapshot)
    {
      Reading reading;
      for (const LimbSnapshot &state : snapshot.limbs)
        if (state.limb == limb)
          for (const SectionState &section : state.sections)
            if (section.yielded_share > reading.value)
            {
              reading.value = section.yielded_share;
              reading.place.station = section.station;
            }
      return reading;
    };
    for (const auto &[kind, share] :
         {std::pair{Event::Kind::yielded_tenth, 0.1}, {Event::Kind::yielded_quarter, 0.25}, {Event::Kind::yielded_half, 0.5}})
      add(kind, share, yielded);
    add(Event::Kind::tension_break, 1.,
        [&](const Snapshot &snapshot)
        {
          return worst(snapshot, [](const HotSpot &spot)
                       { return spot.mode == FailureMode::tension_along || spot.mode == FailureMode::slanting_grain ? 1. : 0.; });
        });
    add(Event::Kind::belly_crushes, 1.,
        [&](const Snapshot &snapshot)
        { return worst(snapshot, [](const HotSpot &spot) { return spot.mode == FailureMode::belly_crushing ? 1. : 0.; }); });
    add(Event::Kind::glue_past_strength, 1.,
        [&](const Snapshot &snapshot)
        {
          return worst(snapshot, [](const HotSpot &spot)
                       { return spot.mode == FailureMode::glue_mixed || spot.mode == FailureMode::glue_shear ? 1. : 0.; });
        });
    add(Event::Kind::patch_could_grow, 1.,
        [&](const Snapshot &snapshot)
        { return worst(snapshot, [](const HotSpot &spot) { return spot.mode == FailureMode::patch_growth ? 1. : 0.; }); });
    // The greatest of what a place of a glue line has.
    const auto worst_glue = [&](const Snapshot &snapshot, const std::function<double(const GlueState &)> &quantity)
    {
      Reading reading;
      for (const LimbSnapshot &state : snapshot.limbs)
        if (state.limb == limb)
          for (const GlueState &glue : state.glue)
            if (const double value = quantity(glue); value > reading.value)
            {
              reading.value = value;
              reading.place.station = glue.station;
              reading.place.glue_line = glue.line;
            }
      return reading;
    };
    // Patches that were open from the start have not parted.
    add(Event::Kind::glue_parts, 1. - 1e-6,
        [&](const Snapshot &snapshot)
        {
          return worst_glue(snapshot,
                            [&](const GlueState &glue)
                            {
                              const GlueLineDescription &line = description.glue[static_cast<std::size_t>(glue.line)];
                              const GluePatch *patch = patch_at(line, glue.station);
                              return is_patch_end(line, glue.station) || (patch != nullptr && patch->open()) ? 0. : glue.parted;
                            });
        });
    add(Event::Kind::layer_buckles, 0.5,
        [&](const Snapshot &snapshot) { return worst_glue(snapshot, [](const GlueState &glue) { return glue.lift; }); });
  }
  for (const double draw : sudden_growth)
  {
    Event event;
    event.kind = Event::Kind::grows_by_itself;
    event.draw = draw;
    events.push_back(event);
  }
  std::stable_sort(events.begin(), events.end(), [](const Event &a, const Event &b) { return a.draw < b.draw; });
  return events;
}

void set_draw_at_one(std::vector<HotSpot> &spots, const std::vector<Snapshot> &snapshots)
{
  for (HotSpot &spot : spots)
  {
    const auto index = [&](const Snapshot &snapshot)
    {
      const auto found = std::find_if(snapshot.worst.begin(), snapshot.worst.end(),
                                      [&](const HotSpot &other) { return same_place(other, spot); });
      return found == snapshot.worst.end() ? 0. : found->index;
    };
    if (const auto crossing = first_crossing(1., snapshots, index))
      spot.draw_at_one = crossing->draw;
  }
}
} // namespace limbwright
