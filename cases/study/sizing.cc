#include "cases/study/sizing.h"

#include "cases/report/output_units.h"
#include "cases/study/bending_stiffness.h"
#include "solver/stages/draw_bow.h"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace limbwright
{
namespace
{
constexpr int most_trials = 12;
// A bow that gave way at so many sizes is not brought much nearer by another.
constexpr int most_given_way = 3;
// Nor is a limb brought nearer than this to one that gives way, nor nearer than a tenth of what that had added; our judgement.
constexpr double near_thickness = 0.002 * inch, near_width = 0.005, near_share = 0.1;

/// The beam's answer for an amount: proportional to the weight, more or less.
double beam_stiffness(const Case &bow_case, const Resizing &what, double amount)
{
  const Case tried = resized(bow_case, what, amount);
  const auto &materials = tried.bow.materials;
  const double upper = bending_compliance(tried.bow.upper, materials);
  return tried.bow.lower ? 2. / (upper + bending_compliance(*tried.bow.lower, materials)) : 1. / upper;
}

/// The amount at which the beam is as stiff as told, within the bounds: by halving.
template <class Stiffness>
double amount_for(double low, double high, double stiffness, const Stiffness &stiffness_of)
{
  if (stiffness_of(low) >= stiffness)
    return low;
  if (stiffness_of(high) <= stiffness)
    return high;
  for (int i = 0; i < 50; ++i)
    (stiffness_of(0.5 * (low + high)) < stiffness ? low : high) = 0.5 * (low + high);
  return 0.5 * (low + high);
}

/// One trial: why it could not be drawn, or nothing. patient: where it fails it is tried again, in shorter steps.
std::string try_to_draw(const Case &tried, bool patient, DrawResults &results, const std::atomic<bool> *stop)
{
  try
  {
    results = draw_quickly(tried, false, stop);
    if (!results.complete && patient && (stop == nullptr || !stop->load()))
    {
      Case slowly = tried;
      slowly.solve.brace_steps *= 4;
      slowly.solve.draw_steps *= 3;
      results = draw_quickly(slowly, false, stop);
    }
    return results.complete ? std::string{} : results.failed_stage + ": " + results.reason;
  }
  catch (const std::runtime_error &failure)
  {
    return failure.what();
  }
  catch (const std::invalid_argument &failure)
  {
    return failure.what();
  }
}
} // namespace

DrawResults draw_quickly(const Case &bow_case, bool set, const std::atomic<bool> *stop, const BowPattern *pattern)
{
  SolveSettings settings = bow_case.solve;
  settings.dimension = 2;
  settings.overdraw = false;
  settings.judging = Judging::last_only;
  settings.cycles = set ? std::min(settings.cycles, 1) : 0;
  return draw_bow(bow_in_use(bow_case).bow, bow_case.mesh, settings, {}, {}, {}, stop, {}, pattern);
}

Sizing size_bow(const Case &bow_case, const Resizing &what, double weight, const std::function<void(const SizingTrial &)> &told,
                const std::atomic<bool> *stop)
{
  Sizing sizing;
  struct Known
  {
    double amount, stiffness, weight;
  };
  std::vector<Known> known;
  const auto stiffness_of = [&](double amount) { return beam_stiffness(bow_case, what, amount); };
  double low = what.lowest, high = what.highest, amount = std::clamp(0., low, high);
  double nearest = std::numeric_limits<double>::infinity(), power = 1., failed = not_known, nearest_weight = 0.;
  int given_way = 0;
  const double near_failed = what.width ? near_width : near_thickness;
  for (int trial = 0; trial < most_trials; ++trial)
  {
    Case tried = resized(bow_case, what, amount);
    DrawResults results;
    std::string failure = try_to_draw(tried, known.empty(), results, stop);
    if (stop != nullptr && stop->load())
    {
      sizing.interrupted = true;
      return sizing;
    }
    sizing.trials.push_back({amount, failure.empty() ? results.draw_weight : not_known});
    // The limb crushed through on the way, and with a smaller size it did not: its pull falls, or it is thicker and yet weaker.
    if (failure.empty() && !known.empty() && amount > sizing.amount &&
        (results.draw_weight < nearest_weight || (tried.solve.wood_yields && results.rise_per_metre < 0.)))
      failure = fmt::format("a stronger limb crushes its belly before full draw: it reaches {:.1f} lb",
                            results.draw_weight / pound_force);
    if (told)
      told(sizing.trials.back());
    if (!failure.empty())
    {
      sizing.reason = failure;
      if (known.empty() || ++given_way == most_given_way)
        return sizing;
      // It fails from here on; half way back to the nearest that could be drawn.
      (amount > sizing.amount ? high : low) = failed = amount;
      amount = 0.5 * (amount + sizing.amount);
      continue;
    }
    known.push_back({amount, stiffness_of(amount), results.draw_weight});
    const Known &last = known.back();
    (last.weight < weight ? low : high) = amount;
    const double off = std::abs(last.weight - weight);
    if (off < nearest)
    {
      nearest = off;
      nearest_weight = last.weight;
      sizing.amount = amount;
      sizing.results = std::move(results);
      sizing.sized = std::move(tried);
    }
    if (off <= weight_tolerance)
    {
      sizing.reached = true;
      sizing.reason.clear();
      return sizing;
    }
    if (known.size() > 1)
      if (const Known &before = known[known.size() - 2]; before.stiffness != last.stiffness)
        power = std::clamp(std::log(last.weight / before.weight) / std::log(last.stiffness / before.stiffness), 0.3, 2.);
    double next = amount_for(low, high, last.stiffness * std::pow(weight / last.weight, 1. / power), stiffness_of);
    const auto same = [next](const SizingTrial &one) { return one.amount == next; };
    if (next != amount && std::any_of(sizing.trials.begin(), sizing.trials.end(), same))
      next = 0.5 * (low + high);
    if (std::abs(failed - sizing.amount) <= std::max(near_failed, near_share * std::abs(failed)))
      return sizing;
    if (std::abs(next - amount) < (what.width ? 1e-4 : 1e-6))
    {
      if (sizing.reason.empty())
        sizing.reason = what.width    ? "beyond that width it would be a different bow"
                        : amount > 0. ? "beyond that thickness it would be a different bow"
                                      : "a strip thinner than 0.010 in cannot be ground and handled";
      return sizing;
    }
    amount = next;
  }
  return sizing;
}
} // namespace limbwright
