#include "cases/report/answer.h"

#include "cases/report/answer_parts.h"
#include "cases/report/conditions_words.h"
#include "cases/report/edge_words.h"
#include "cases/report/flaw_words.h"
#include "cases/report/output_units.h"
#include "cases/report/overstrained_words.h"
#include "cases/report/sideways_words.h"
#include "cases/report/split_words.h"
#include "cases/report/trade_figures.h"
#include "cases/report/verdict.h"
#include "cases/report/words.h"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>

namespace limbwright
{
namespace
{
constexpr std::size_t n_places_told = 3;

std::string line(const std::string &name, const std::string &trade, const std::string &metric)
{
  return metric.empty() ? fmt::format("  {:<22}{}\n", name, trade) : fmt::format("  {:<22}{:<35} {}\n", name, trade, metric);
}

std::string heading(const Case &bow_case)
{
  const auto &title = bow_case.title.empty() ? bow_case.name : bow_case.title;
  return title + "\n\n";
}

/// What stopped an incomplete run.
std::string what_failed(const Case &bow_case, const DrawResults &results)
{
  std::string text = wrapped("NOT FINISHED. Failed stage: " + results.failed_stage + ". Reason: " + results.reason, 2);
  const bool drawn = results.draw_length > results.brace_height && results.draw_weight > 0.;
  text += "\n";
  if (drawn)
    text +=
        wrapped(fmt::format("  Last good draw length: {} ({} mm), {}. The numbers below are for that draw, not for full draw.",
                            draw_told(bow_case, results.draw_length),
                            std::lround((results.draw_length + convention_offset(bow_case)) / millimetre),
                            convention_words(bow_case.convention)),
                2) +
        "\n";
  else
    text += "  The bow was not drawn, so it has no draw weight.\n";
  return text + "\n";
}

/// The weight at whole inches of draw, on as many lines as it takes.
std::string weights_by_inch(const Case &bow_case, const DrawResults &results)
{
  constexpr std::size_t most_on_a_line = 11;
  std::vector<std::pair<long, double>> weights; // inches told, force
  for (const auto &point : results.draw_curve)
  {
    const double told = (point.draw + convention_offset(bow_case)) / inch;
    // Full draw may come twice: as a whole inch and as the end of the curve.
    if (std::abs(told - std::round(told)) < 1e-6 && (weights.empty() || weights.back().first != std::lround(told)))
      weights.emplace_back(std::lround(told), std::max(0., point.force)); // rounding at brace is no push
  }
  double most = 0.;
  for (const auto &[told, force] : weights)
    most = std::max(most, force / pound_force);
  const std::size_t width = std::max<std::size_t>(6, fmt::format(" {:.1f}", most).size()); // a blank between any two
  const std::size_t n_lines = (weights.size() + most_on_a_line - 1) / most_on_a_line;
  std::string text;
  for (std::size_t i = 0; i < n_lines; ++i)
  {
    const std::size_t begin = i * weights.size() / n_lines, end = (i + 1) * weights.size() / n_lines;
    std::string row;
    for (std::size_t k = begin; k < end; ++k)
      row += fmt::format("{:{}.1f}", weights[k].second / pound_force, width);
    text += fmt::format("  {:<20}{}\n", fmt::format("lb at {} to {} in", weights[begin].first, weights[end - 1].first), row);
  }
  return text;
}

std::string past_full_draw(const DrawResults &results)
{
  const double one = force_past_full_draw(results, 1), two = force_past_full_draw(results, 2);
  if (!std::isfinite(one))
    return {};
  return line("overdrawn", "1 in: " + number(one, pound_force, "lb", 1) + ", 2 in: " + number(two, pound_force, "lb", 1),
              number(one, 1., "N", 0) + ", " + number(two, 1., "N", 0));
}

std::string comfort(const Case &bow_case, const DrawResults &results)
{
  const auto found = comfortable_draw(bow_case, results);
  if (!found)
    return {};
  if (found->never_comfortable)
    return line("comfortable to", "no draw: over the mark at brace (" + layer_name(bow_case, *found->limit) + ")", "");
  const auto draw = draw_told(bow_case, found->draw);
  const auto metric = number(found->draw + convention_offset(bow_case), millimetre, "mm", 0);
  return line("comfortable to",
              draw + (found->to_the_end ? ", not checked further" : " (" + layer_name(bow_case, *found->limit) + ")"), metric);
}

/// Eighths of an inch, signed: "+1 3/8 in".
std::string eighths(double length)
{
  if (!std::isfinite(length))
    return "not known";
  const long n = std::lround(std::abs(length) / (inch / 8.));
  if (n == 0)
    return "0 in";
  long top = n % 8, bottom = 8;
  for (; top != 0 && top % 2 == 0; top /= 2)
    bottom /= 2;
  std::string text = length < 0. ? "-" : "+";
  if (n >= 8)
    text += fmt::format("{}{}", n / 8, top != 0 ? " " : "");
  return text + (top != 0 ? fmt::format("{}/{}", top, bottom) : std::string()) + " in";
}

std::string harder_limb(const Case &bow_case, const DrawResults &results)
{
  const Verdict upper = verdict_of(bow_case, results, LimbName::upper), lower = verdict_of(bow_case, results, LimbName::lower);
  std::string sides;
  for (const auto &[name, side] : {std::pair("back", &Verdict::back), std::pair("belly", &Verdict::belly)})
    if (upper.*side && lower.*side)
      sides += fmt::format("; {} {} upper, {} lower", name, strength_used(*(upper.*side)), strength_used(*(lower.*side)));
  if (sides.empty())
    return {};
  const double difference = upper.worst_index() - lower.worst_index();
  constexpr double alike = 0.005; // what whole per cent hide
  const std::string who = std::abs(difference) < alike ? "both alike" : difference > 0. ? "upper limb" : "lower limb";
  return line("works harder", who + sides, "");
}

/// What only a bow of unlike limbs has.
std::string two_limbs(const Case &bow_case, const DrawResults &results)
{
  const auto *at_brace = braced(results);
  if (results.symmetric || at_brace == nullptr)
    return {};
  const double first = results.gaps_braced.tiller(), last = results.gaps_full.tiller();
  const auto &end = results.snapshots.back().point;
  const auto pounds = [](double upper, double lower)
  { return fmt::format("{:.0f}/{:.0f} lb", upper / pound_force, lower / pound_force); };
  const auto newtons = [](double upper, double lower) { return fmt::format("{:.0f}/{:.0f} N", upper, lower); };
  auto text = line("tiller, upper - lower", eighths(first) + " braced, " + eighths(last) + " drawn",
                   number(first, millimetre, "mm", 1) + ", " + number(last, millimetre, "mm", 1));
  text += line("string upper/lower",
               pounds(at_brace->point.tension, at_brace->point.tension_lower) + " braced, " +
                   pounds(end.tension, end.tension_lower) + " drawn",
               newtons(at_brace->point.tension, at_brace->point.tension_lower) + ", " + newtons(end.tension, end.tension_lower));
  const double travel = nocking_travel(bow_case, results);
  text += line("nocking point",
               std::string(travel < 0. ? "drops " : "rises ") + number(std::abs(travel), inch, "in during the draw", 2),
               number(std::abs(travel), millimetre, "mm", 1));
  if (bow_case.bow.hold.free_handle)
  {
    const double turn = handle_turn(results);
    text +=
        line("handle turns",
             number(std::abs(turn), degree, "degrees, top ", 1) + (turn < 0. ? "toward the target" : "toward the archer"), "");
  }
  return text + harder_limb(bow_case, results);
}

/// Where the string comes off a limb, draw as told.
std::string lift_off(const Case &bow_case, const DrawResults &results, LimbName limb)
{
  const auto draw = string_lifts_off(results, limb);
  return draw ? "off at " + draw_told(bow_case, *draw) : std::string("never lifts off");
}

std::string lift_off_metric(const Case &bow_case, const DrawResults &results, LimbName limb)
{
  const auto draw = string_lifts_off(results, limb);
  return draw ? ", " + number(*draw + convention_offset(bow_case), millimetre, "mm", 0) : std::string();
}

/// The string on limbs that curl past the upright, and what the curl does to the glue under the back.
std::string string_on_limb(const Case &bow_case, const DrawResults &results)
{
  const auto *at_brace = braced(results);
  if (at_brace == nullptr || std::max(at_brace->point.contact_length, at_brace->point.contact_length_lower) <= 0.)
    return {};
  std::string text;
  for (const LimbName limb : {LimbName::upper, LimbName::lower})
  {
    const double contact = contact_length(at_brace->point, limb);
    if ((results.symmetric && limb == LimbName::lower) || contact <= 0.)
      continue;
    const auto &bridge = limb_of(bow_case, limb).bridge;
    const double first = limb == LimbName::upper ? at_brace->point.lift_off_station : at_brace->point.lift_off_station_lower;
    const bool on_bridge = bridge && std::abs(first - bridge->station) < 0.5 * millimetre;
    const auto name = results.symmetric ? std::string("string on the limb") : "string, " + limb_words(limb, false);
    text += line(name,
                 (on_bridge ? "on the bridge" : "last " + number(contact, inch, "in", 1)) + " braced, " +
                     lift_off(bow_case, results, limb),
                 number(contact, millimetre, "mm", 0) + lift_off_metric(bow_case, results, limb));
  }
  if (const auto pull = pull_on_back(bow_case, results))
    text +=
        line("peel under the back", fmt::format("{:+.0f} psi braced, {:+.0f} psi drawn", pull->braced / psi, pull->last / psi),
             fmt::format("{:+.2f}, {:+.2f} MPa at {:.1f} in", pull->braced / megapascal, pull->last / megapascal,
                         pull->station / inch));
  return text;
}

constexpr double spring_told = 1e-5; // [m] less than this is rounding

std::string reflex_change(double spring)
{
  return std::string(spring > 0. ? "gains " : "loses ") + number(std::abs(spring), inch, "in", 2);
}

std::string figures(const Case &bow_case, const DrawResults &results)
{
  auto text = fmt::format("  {} at {} of draw\n", number(results.draw_weight, pound_force, "lb", 1),
                          draw_told(bow_case, results.draw_length));
  text += fmt::format("  ({} at {}; draw length {})\n\n", number(results.draw_weight, 1., "N", 1),
                      number(results.draw_length + convention_offset(bow_case), millimetre, "mm", 0),
                      convention_words(bow_case.convention));
  text += weights_by_inch(bow_case, results) + past_full_draw(results);
  text += line("stacking",
               number(results.rise_per_metre, pound_force / inch, "lb per in", 2) +
                   (results.complete ? " at full draw" : " at that draw"),
               number(results.rise_per_metre, 1., "N/m", 0));
  text += comfort(bow_case, results);
  text += line("string tension",
               number(results.brace_tension, pound_force, "lb braced", 0) + ", " +
                   number(results.full_draw_tension, pound_force, "lb drawn", 0),
               number(results.brace_tension, 1., "N", 0) + ", " + number(results.full_draw_tension, 1., "N", 0));
  if (std::abs(results.spring_upper) > spring_told || std::abs(results.spring_lower) > spring_told)
    text += line("springback",
                 reflex_change(results.spring_upper) +
                     (results.symmetric ? " reflex off the form"
                                        : " upper, " + reflex_change(results.spring_lower) + " lower, reflex off the form"),
                 number(results.spring_upper, millimetre, "mm", 0) +
                     (results.symmetric ? "" : ", " + number(results.spring_lower, millimetre, "mm", 0)));
  text += line("brace height", number(results.brace_height, inch, "in", 2), number(results.brace_height, millimetre, "mm", 0));
  text += line("energy stored",
               number(results.stored_energy, foot_pound, "ft-lb", 1) + ", " +
                   number(energy_per_weight(results), foot_pound / pound_force, "ft-lb per lb", 2),
               number(results.stored_energy, 1., "J", 1));
  if (!results.snapshots.empty())
    text += line("string angle at tip", number(results.snapshots.back().point.string_angle, degree, "degrees", 0), "");
  // A solid of the whole width may twist and drift; where nothing is off the middle both are rounding.
  if (bow_case.solve.dimension == 3 && !results.snapshots.empty())
  {
    constexpr double rounding = 1e-6; // [m], [rad]
    for (const LimbSnapshot &limb : results.snapshots.back().limbs)
      if (const SectionState &tip = limb.sections.back(); std::abs(tip.drift) > rounding || std::abs(tip.twist) > rounding)
        text +=
            line(results.symmetric ? "sideways at the tip" : "sideways, " + limb_key(limb.limb) + " tip",
                 number(std::abs(tip.drift), inch, "in to ", 2) + side_words(tip.drift) + ", twisted " +
                     number(std::abs(tip.twist), degree, "degrees", 1) + ", " + side_words(tip.twist) + " edge toward the back",
                 number(std::abs(tip.drift), millimetre, "mm", 1));
  }
  text += line("string length", number(results.string_slack_length, inch, "in nock to nock, no tension", 2),
               number(results.string_slack_length, millimetre, "mm", 0));
  if (results.symmetric)
    text += line("each limb weighs", number(results.mass_upper, ounce_mass, "oz", 1), number(results.mass_upper, 1e-3, "g", 0));
  else
    text +=
        line("limbs weigh",
             number(results.mass_upper, ounce_mass, "oz upper", 1) + ", " + number(results.mass_lower, ounce_mass, "oz lower", 1),
             number(results.mass_upper, 1e-3, "g", 0) + ", " + number(results.mass_lower, 1e-3, "g", 0));
  text += string_on_limb(bow_case, results) + two_limbs(bow_case, results);
  return text + "\n";
}

std::string place(const Case &bow_case, const DrawResults &results, const HotSpot &spot, std::size_t rank)
{
  std::string text = wrapped(fmt::format("  {}. {}", rank, capital(place_words(bow_case, spot, results.symmetric))), 5) + "\n";
  text += "     " +
          wrapped(fmt::format("{}, at {}{}", failure_words(bow_case, spot), strength_used(spot), load_and_limit(spot)), 5, 83) +
          "\n";
  if (spot.index >= 1. || spot.draw_at_one || !results.complete)
    text += "     " + when_it_fails(bow_case, results, spot) + "\n";
  if (spot.averaged)
    text += "     " + averaging_words(results, spot) + "\n";
  const auto caution = strength_caution(bow_case, spot);
  if (!caution.empty())
    text += "     " + wrapped(caution, 5, 83) + "\n";
  if (!spot.note.empty() && spot.note != caution)
    text += "     " + wrapped(spot.note, 5, 83) + "\n";
  return text;
}

std::string verdict(const Case &bow_case, const DrawResults &results)
{
  if (braced(results) == nullptr)
    return {};
  const Verdict found = verdict_of(bow_case, results);
  std::string text =
      wrapped("Verdict: " + level_words(found.level) + ". " + hardest_worked_words(bow_case, found, results.symmetric), 2) + "\n";
  if (const auto balance = balance_words(bow_case, found, results.symmetric); !balance.empty())
    text += wrapped(balance, 2) + "\n";
  return text + "\n";
}

std::string worst_places(const Case &bow_case, const DrawResults &results)
{
  const auto ranked = verdict_of(bow_case, results).worst;
  if (ranked.empty())
    return {};
  std::string text = "Worst places, by % of strength used (100 % = fails)\n";
  for (std::size_t i = 0; i < std::min(n_places_told, ranked.size()); ++i)
    text += place(bow_case, results, ranked[i], i + 1);
  if (braced(results) != nullptr)
    text += "  " +
            wrapped(fmt::format("\"Comfortable\" = nothing over {} of its strength, and no wooden belly over {} of its bending "
                                "strength. Both marks are our choice.",
                                strength_used(comfortable_index), strength_used(belly_holds_index)),
                    2, 86) +
            "\n";
  return text + "\n";
}
} // namespace

std::string answer(const Case &bow_case, const DrawResults &results)
{
  std::string text = heading(bow_case);
  if (!results.complete)
    text += what_failed(bow_case, results);
  if (results.complete || results.draw_weight > 0.)
    text += figures(bow_case, results);
  text += overstrained_words(bow_case, results);
  text += sideways_words(bow_case, results);
  text += verdict(bow_case, results);
  text += worst_places(bow_case, results);
  text += belly_wood_words(bow_case, results);
  text += patch_words(bow_case, results);
  text += edge_words(bow_case, results);
  text += flaw_cost_words(bow_case, results);
  text += event_list(bow_case, results);
  text += after_the_draw(results);
  text += conditions_words(bow_case);
  return text + wrapped(caution_words(), 2) + "\n";
}
} // namespace limbwright
