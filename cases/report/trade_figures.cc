#include "cases/report/trade_figures.h"

#include "cases/report/output_units.h"
#include "cases/report/verdict.h"
#include "cases/report/words.h"

#include <algorithm>
#include <cmath>

namespace limbwright
{
namespace
{
double index_at(const std::vector<HotSpot> &spots, const HotSpot &place)
{
  double index = 0.;
  for (const auto &spot : spots)
    if (same_place(spot, place))
      index = std::max(index, spot.index);
  return index;
}
} // namespace

const Snapshot *braced(const DrawResults &results)
{
  const auto found = std::find_if(results.snapshots.begin(), results.snapshots.end(),
                                  [](const Snapshot &snapshot) { return snapshot.stage == "braced"; });
  return found == results.snapshots.end() ? nullptr : &*found;
}

std::optional<ComfortableDraw> comfortable_draw(const Case &bow_case, const DrawResults &results)
{
  const auto *last = braced(results);
  if (last == nullptr)
    return std::nullopt;
  const auto *end = results.snapshots.data() + results.snapshots.size();
  const auto past_mark = [&](const Snapshot &snapshot)
  {
    std::vector<HotSpot> spots = verdict_of(bow_case, snapshot.worst).worst;
    std::erase_if(spots, comfortable);
    return spots;
  };
  ComfortableDraw found;
  if (const auto spots = past_mark(*last); !spots.empty())
    return ComfortableDraw{last->point.draw, true, false, spots.front()};
  for (const auto *snapshot = last + 1; snapshot != end; last = snapshot++)
  {
    const auto spots = past_mark(*snapshot);
    if (spots.empty())
      continue;
    for (const auto &spot : spots)
    {
      const double before = index_at(last->worst, spot);
      const double t = std::clamp((comfortable_up_to(spot.mode) - before) / (spot.index - before), 0., 1.);
      const double draw = last->point.draw + t * (snapshot->point.draw - last->point.draw);
      if (!found.limit || draw < found.draw)
      {
        found.draw = draw;
        found.limit = spot;
      }
    }
    return found;
  }
  found.draw = last->point.draw;
  found.to_the_end = true;
  return found;
}

double contact_length(const DrawPoint &point, LimbName limb)
{
  return limb == LimbName::upper ? point.contact_length : point.contact_length_lower;
}

std::optional<double> string_lifts_off(const DrawResults &results, LimbName limb)
{
  bool lies = false;
  for (const auto &snapshot : results.snapshots)
  {
    const double contact = contact_length(snapshot.point, limb);
    if (lies && contact <= 0.)
      return snapshot.point.draw;
    lies = contact > 0.;
  }
  return std::nullopt;
}

std::optional<PullOnBack> pull_on_back(const Case &bow_case, const DrawResults &results)
{
  const auto *at_brace = braced(results);
  if (at_brace == nullptr)
    return std::nullopt;
  const auto worst_under_back = [&bow_case](const LimbSnapshot &limb) -> const GlueState *
  {
    const int outermost = static_cast<int>(limb_of(bow_case, limb.limb).laminations.size()) - 1;
    const GlueState *worst = nullptr;
    for (const auto &glue : limb.glue)
      if (!glue.near_end && (glue.back_lamination < 0 ? glue.line + 1 : glue.back_lamination) == outermost &&
          (worst == nullptr || glue.peel > worst->peel))
        worst = &glue;
    return worst;
  };
  std::optional<PullOnBack> found;
  const auto &last = results.snapshots.back();
  for (std::size_t k = 0; k < last.limbs.size(); ++k)
    if (const auto *worst = worst_under_back(last.limbs[k]); worst != nullptr && worst->peel > (found ? found->last : 0.))
    {
      const auto *before = worst_under_back(at_brace->limbs[k]);
      found = PullOnBack{last.limbs[k].limb, static_cast<int>(limb_of(bow_case, last.limbs[k].limb).laminations.size()) - 1,
                         worst->station, before == nullptr ? not_known : before->peel, worst->peel};
    }
  return found;
}

double nocking_travel(const Case &bow_case, const DrawResults &results)
{
  return braced(results) == nullptr ? not_known
                                    : results.snapshots.back().point.nocking_height - bow_case.bow.hold.nocking_height;
}

double handle_turn(const DrawResults &results)
{
  return braced(results) == nullptr ? not_known : results.snapshots.back().point.handle_turn;
}

double energy_per_weight(const DrawResults &results)
{
  return results.draw_weight > 0. ? results.stored_energy / results.draw_weight : not_known;
}

double force_past_full_draw(const DrawResults &results, int n_inches)
{
  for (const auto &point : results.overdraw)
    if (std::abs(point.draw - results.draw_length - n_inches * inch) < 1e-6)
      return point.force;
  return not_known;
}
} // namespace limbwright
