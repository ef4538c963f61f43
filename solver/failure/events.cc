#include "solver/failure/events.h"

#include <math.h> // Boost 1.74 calls isnan without its namespace

#include <boost/math/interpolators/pchip.hpp>

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

// Where a quantity first reaches a threshold.
struct Crossing
{
  double draw = 0.;           // [m]
  bool braced = false;        // it was there when the bow was strung
  const Snapshot *at_or_past; // the solved step that follows
};

// Monotone cubic through points (Fritsch and Butland 1984, SIAM J. Sci. Stat. Comput. 5:300); straight lines where there are
// fewer than its four.
double monotone_cubic(const std::vector<double> &x, const std::vector<double> &y, double at)
{
  if (x.size() >= 4)
    return boost::math::interpolators::pchip<std::vector<double>>(std::vector<double>(x), std::vector<double>(y))(at);
  const auto after = std::upper_bound(x.begin() + 1, x.end() - 1, at);
  const auto i = static_cast<std::size_t>(after - x.begin());
  return y[i - 1] + (at - x[i - 1]) / (x[i] - x[i - 1]) * (y[i] - y[i - 1]);
}

// A quantity at a draw between two snapshots.
using Between = std::function<double(const Snapshot &, const Snapshot &, double draw)>;

std::optional<Crossing> first_crossing(double threshold, const std::vector<Snapshot> &snapshots,
                                       const std::function<double(const Snapshot &)> &quantity, const Between &between = {})
{
  const Snapshot *last = nullptr;
  std::vector<double> draws, values;
  for (const Snapshot &snapshot : snapshots)
    if (snapshot.stage != "unstrung")
    {
      draws.push_back(snapshot.point.draw);
      values.push_back(quantity(snapshot));
    }
  std::size_t i = 0;
  for (const Snapshot &snapshot : snapshots)
  {
    if (snapshot.stage == "unstrung")
      continue;
    const double value = values[i++], draw = snapshot.point.draw;
    if (value >= threshold && last == nullptr)
      return Crossing{draw, true, &snapshot};
    if (value >= threshold)
    {
      const auto at = [&](double where)
      { return between ? between(*last, snapshot, where) : monotone_cubic(draws, values, where); };
      // The first of a few stretches whose end is past the threshold, then halves of it.
      constexpr int n_stretches = 16, n_halves = 20;
      double low = last->point.draw, high = draw;
      for (int k = 1; k < n_stretches; ++k)
        if (const double where = last->point.draw + (draw - last->point.draw) * k / n_stretches; at(where) >= threshold)
        {
          high = where;
          break;
        }
        else
          low = where;
      for (int k = 0; k < n_halves; ++k)
        (at(0.5 * (low + high)) >= threshold ? high : low) = 0.5 * (low + high);
      return Crossing{high, false, &snapshot};
    }
    last = &snapshot;
  }
  return std::nullopt;
}

// A peak of a section curve at a draw.
SectionPeak peak_at(const SectionCurve &curve, const std::vector<SectionPeak> &peaks, double draw)
{
  const auto after = std::lower_bound(curve.draws.begin(), curve.draws.end(), draw);
  if (after == curve.draws.begin())
    return peaks.front();
  if (after == curve.draws.end())
    return peaks.back();
  const auto i = static_cast<std::size_t>(after - curve.draws.begin());
  const double t = (draw - curve.draws[i - 1]) / (curve.draws[i] - curve.draws[i - 1]);
  const SectionPeak &a = peaks[i - 1], &b = peaks[i];
  return {a.value + t * (b.value - a.value), t < 0.5 ? a.station : b.station};
}

const SectionCurve *curve_of(const std::vector<SectionCurve> &curves, LimbName limb)
{
  const std::size_t number = limb == LimbName::upper ? 0 : 1;
  return number < curves.size() && !curves[number].draws.empty() ? &curves[number] : nullptr;
}

// The worst index of the same layer and mode in a snapshot; zero where there is none.
double index_of(const HotSpot &spot, const Snapshot &snapshot)
{
  const auto found =
      std::find_if(snapshot.worst.begin(), snapshot.worst.end(), [&](const HotSpot &other) { return same_place(other, spot); });
  return found == snapshot.worst.end() ? 0. : found->index;
}

// Where a spot's index first reaches a threshold. What is judged elsewhere than by plane sections, as beside knots, keeps its
// ratio to them between the steps.
std::optional<Crossing> index_crossing(const HotSpot &spot, double threshold, const std::vector<Snapshot> &snapshots,
                                       const std::vector<SectionCurve> &curves)
{
  const auto index = [&](const Snapshot &snapshot) { return index_of(spot, snapshot); };
  const SectionCurve *curve = curve_of(curves, spot.limb);
  if (curve == nullptr || curve->by_lamination.count({spot.lamination, spot.mode}) == 0)
    return first_crossing(threshold, snapshots, index);
  const auto &peaks = curve->by_lamination.at({spot.lamination, spot.mode});
  const auto of_sections = [&](double draw) { return peak_at(*curve, peaks, draw).value; };
  return first_crossing(threshold, snapshots, index,
                        [&](const Snapshot &from, const Snapshot &to, double draw)
                        {
                          const double a = from.point.draw, b = to.point.draw, t = (draw - a) / (b - a);
                          const double at_from = of_sections(a), at_to = of_sections(b);
                          const double ratio_to = at_to > 0. ? index(to) / at_to : 1.;
                          const double ratio_from = at_from > 0. ? index(from) / at_from : ratio_to;
                          return of_sections(draw) * (ratio_from + t * (ratio_to - ratio_from));
                        });
}
} // namespace

std::vector<Event> events_of_draw(const BowDescription &bow, const std::vector<Snapshot> &snapshots,
                                  const std::vector<SectionCurve> &curves, const std::vector<double> &sudden_growth)
{
  std::vector<Event> events;
  std::vector<HotSpot> places; // every layer or glue line and mode that any snapshot has
  for (const Snapshot &snapshot : snapshots)
    for (const HotSpot &spot : snapshot.worst)
      if (std::none_of(places.begin(), places.end(), [&](const HotSpot &known) { return same_place(known, spot); }))
        places.push_back(spot);
  for (const LimbName limb : {LimbName::upper, LimbName::lower})
  {
    if (limb == LimbName::lower && !bow.lower)
      continue;
    const LimbDescription &description = limb == LimbName::upper ? bow.upper : *bow.lower;
    const auto material_of = [&](int lamination) -> const Material &
    { return bow.materials.at(description.laminations[static_cast<std::size_t>(lamination)].material); };
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
    // The first of the layers and glue lines whose index in some modes reaches one; the factor multiplies a spot's index.
    const auto add_first = [&](Event::Kind kind, const std::function<double(const HotSpot &)> &factor)
    {
      std::optional<Event> first;
      for (const HotSpot &spot : places)
      {
        const double by = spot.limb == limb ? factor(spot) : 0.;
        if (by <= 0.)
          continue;
        const auto crossing = index_crossing(spot, 1. / by, snapshots, curves);
        if (!crossing || (first && first->draw <= crossing->draw))
          continue;
        first = Event{kind, crossing->draw, crossing->braced, limb, spot.station, spot.lamination, spot.glue_line, spot.mode};
        for (const HotSpot &at : crossing->at_or_past->worst)
          if (same_place(at, spot))
            first->station = at.station;
      }
      if (first)
        events.push_back(*first);
    };
    const auto of_modes = [](const std::vector<FailureMode> &modes) {
      return [modes](const HotSpot &spot) { return std::find(modes.begin(), modes.end(), spot.mode) != modes.end() ? 1. : 0.; };
    };
    if (const SectionCurve *curve = curve_of(curves, limb))
    {
      // The set index counts by the crushing strength; yielding begins below it, at the proportional limit.
      add_first(Event::Kind::first_yield,
                [&](const HotSpot &spot)
                {
                  const auto law =
                      spot.mode == FailureMode::belly_set ? crushing_law(material_of(spot.lamination)) : std::nullopt;
                  return law ? law->strength / law->yield : 0.;
                });
      for (const auto &[kind, fraction] :
           {std::pair{Event::Kind::yielded_tenth, 0.1}, {Event::Kind::yielded_quarter, 0.25}, {Event::Kind::yielded_half, 0.5}})
        for (std::size_t i = 0; i < curve->draws.size(); ++i)
          if (const SectionPeak &peak = curve->yielded[i]; peak.value >= fraction)
          {
            Event event;
            event.kind = kind;
            event.limb = limb;
            event.station = peak.station;
            event.braced = i == 0;
            event.draw = curve->draws[i];
            if (i > 0)
              event.draw -=
                  (curve->draws[i] - curve->draws[i - 1]) * (peak.value - fraction) / (peak.value - curve->yielded[i - 1].value);
            events.push_back(event);
            break;
          }
    }
    add_first(Event::Kind::tension_break, of_modes({FailureMode::tension_along, FailureMode::slanting_grain}));
    add_first(Event::Kind::belly_crushes, of_modes({FailureMode::belly_crushing}));
    add_first(Event::Kind::glue_past_strength, of_modes({FailureMode::glue_mixed, FailureMode::glue_shear}));
    add_first(Event::Kind::patch_could_grow, of_modes({FailureMode::patch_growth}));
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
    add(Event::Kind::glue_parts, 1. - 1e-6,
        [&](const Snapshot &snapshot) { return worst_glue(snapshot, [](const GlueState &glue) { return glue.let_go; }); });
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

void set_draw_at_one(std::vector<HotSpot> &spots, const std::vector<Snapshot> &snapshots, const std::vector<SectionCurve> &curves)
{
  for (HotSpot &spot : spots)
    if (const auto crossing = index_crossing(spot, 1., snapshots, curves))
      spot.draw_at_one = crossing->draw;
}
} // namespace limbwright
