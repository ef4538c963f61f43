// From unstrung to braced, and paths taken up again.
#include "solver/stages/draw_path.h"

#include <algorithm>
#include <cmath>

namespace limbwright
{
bool BowPath::fits(const DrawPath &begun)
{
  // How much a limb's memory holds once anything has happened to it.
  const std::vector<History> before = histories();
  for (std::size_t k = 0; k < limbs.size(); ++k)
    limbs[k]->commit(unstrung.q[k]);
  const std::vector<History> full = histories();
  restore(before);
  const auto fits_memory = [](const auto &list, const auto &whole) { return list.empty() || list.size() == whole.size(); };
  const auto state_fits = [&](const State &state, const std::vector<History> &history)
  {
    bool same = state.q.size() == limbs.size() && history.size() == limbs.size() && state.scalars.allFinite() &&
                state.scalars.size() == bow_string.n_scalars();
    for (std::size_t k = 0; same && k < limbs.size(); ++k)
      same = state.q[k].size() == limbs[k]->space().n_free() && state.q[k].allFinite() &&
             fits_memory(history[k].crushed, full[k].crushed) && fits_memory(history[k].glue, full[k].glue);
    return same;
  };
  bool same = !begun.steps.empty() && (begun.steps.size() == 1 || begun.slack_lengths.size() == limbs.size()) &&
              (!begun.stringing || state_fits(begun.stringing->state, begun.stringing->history));
  for (const PathStep &step : begun.steps)
    same = same && state_fits(step.state, step.history) &&
           (&step == &begun.steps.front() || (step.readings.size() == step.rates.size() && step.readings.allFinite() &&
                                              step.rates.allFinite() && step.readings.size() == read(step.state, 0.).size()));
  return same;
}

void BowPath::take_up(const DrawPath &begun, DrawPath &path)
{
  if (!fits(begun))
    throw CannotResume("the draw that was kept does not fit this bow's mesh: another version of this program wrote it, or it is "
                       "damaged. Draw without --resume");
  path = begun;
  path.complete = false;
  path.after.clear(); // a let-down begins anew
  path.cycles.clear();
  path.after_failed.clear();
  path.failed_stage.clear();
  path.reason.clear();
  sudden_growth = path.sudden_growth;
  snapped = path.snapped;
  restore(path.stringing ? path.stringing->history : path.steps.back().history);
}

double BowPath::turn_of_tip(const State &from, const State &to, std::size_t limb) const
{
  const Eigen::Vector3d a = bow_string.path(from, bow.brace_height, limb).director,
                        b = bow_string.path(to, bow.brace_height, limb).director;
  return std::atan2(a.x() * b.y() - a.y() * b.x(), a.dot(b));
}

BowPath::Outcome BowPath::string_up(State &state, double start, int n_steps, DrawPath &path, const Accept &accept,
                                    bool predict_first)
{
  const Loads bracing = bow_string.bracing(bow.brace_height);
  constexpr double most_turn = 0.8; // [rad] of a tip in one step: more may be another branch's
  const Check check = [&](double, const State &from, double, const State &to, bool strictly) -> std::string
  {
    for (std::size_t k = 0; k < limbs.size(); ++k)
    {
      if (bow_string.tension(to, k) <= 0.)
        return "the string would hang slack at this brace height";
      if (std::abs(turn_of_tip(from, to, k)) > most_turn)
        return "the tips turn far in one step";
      if (bow_string.path(to, bow.brace_height, k).tip.y() <= 0.)
        return "the tips would pass each other";
    }
    return stands(to, bow.brace_height, slack_lengths(to, bow.brace_height), strictly)
               ? ""
               : "what was found would not stay where it is";
  };
  return march(
      state, start, 0., n_steps, bracing,
      [&](const State &at, double parameter) { return equilibrium.rate(at, parameter, bracing); }, path.brace_iterations,
      path.steps_cut, accept, {}, predict_first, true, check);
}

BowPath::Outcome BowPath::brace(DrawPath &path, State &state, const std::function<void(const PathProgress &)> &progress,
                                const std::function<void()> &keep)
{
  const bool taken_up = path.stringing.has_value();
  const double start = taken_up ? path.stringing->parameter : bow_string.bracing_start(state, bow.brace_height);
  if (start <= 0.)
    return {false, "the unstrung tips are already at brace height or beyond: there is nothing to string"};
  const std::size_t n_grown = sudden_growth.size();
  // A limb that the string must turn far is strung in several steps, and once more in half of them; the latter also where a step
  // had to be cut, or wood has yielded.
  constexpr double gentle = 0.35, turn_of_step = 0.2; // [rad] of the string's angle; good bows of every usual kind lie below
  const double angle = start / static_cast<double>(limbs.size());
  int n_steps = settings.brace_steps;
  if (angle > gentle)
    n_steps = std::max(n_steps, static_cast<int>(std::ceil(angle / turn_of_step)));
  const State begin = state;
  const std::vector<History> history = histories();
  int step = 0;
  const int cut_before = path.steps_cut;
  Outcome outcome = string_up(
      state, start, n_steps, path,
      [&](double parameter, const State &reached, int iterations)
      {
        if (progress)
          progress({"stringing", ++step, std::max(step, n_steps), bow.brace_height, iterations});
        if (parameter != 0.)
        {
          path.stringing = StringingStep{parameter, reached, histories()};
          keep();
        }
      },
      !taken_up);
  if (sudden_growth.size() > n_grown) // told by draws, not by how far it was strung
  {
    sudden_growth.resize(n_grown);
    sudden_growth.push_back(bow.brace_height);
  }
  if (!outcome.reached)
    return outcome;
  constexpr int most_halvings = 4;
  constexpr double yielding = 0.05; // [1] of the energy stored
  const Kept kept = energies(state, slack_lengths(state, bow.brace_height));
  n_steps = std::max(n_steps, step); // where they were cut
  const bool again = angle > gentle || path.steps_cut > cut_before || kept.used_up > yielding * kept.stored;
  for (int halving = 1; again && !taken_up && !way_matters(); ++halving)
  {
    const State found = state;
    state = begin;
    restore(history);
    n_steps *= 2;
    outcome = string_up(
        state, start, n_steps, path,
        [&](double, const State &, int iterations)
        {
          if (progress)
            progress({"stringing again in shorter steps", ++step, std::max(step, n_steps), bow.brace_height, iterations});
        },
        true);
    if (!outcome.reached)
      return outcome;
    constexpr double alike = 2e-3; // [1] of the tension, [rad] of the tips; wood that yields remembers its steps a little
    bool same = true;
    for (std::size_t k = 0; k < limbs.size(); ++k)
      same = same && std::abs(bow_string.tension(found, k) / bow_string.tension(state, k) - 1.) < alike &&
             std::abs(turn_of_tip(found, state, k)) < alike;
    if (same)
      break;
    if (halving == most_halvings)
      return {false, "the braced bow that is found depends on the steps in which it is strung"};
  }
  if (bow_string.tension(state, 0) <= 0.)
    return {false, "the string would hang slack at this brace height"};
  path.stringing.reset();

  // Both halves keep their unstressed lengths.
  const double brace_draw = mark_nocking_point(state, bow.brace_height);
  path.slack_lengths = slack_lengths(state, brace_draw);
  path.slack_length = path.slack_lengths.front();
  path.steps.push_back(drawn_step("braced", state, brace_draw, path.slack_lengths, nullptr));
  path.steps.back().iterations = path.brace_iterations;
  keep();
  return outcome;
}
} // namespace limbwright
