#include "cases/report/summary.h"

#include "cases/report/edge_words.h"
#include "cases/report/flaw_words.h"
#include "cases/report/trade_figures.h"
#include "cases/report/verdict.h"
#include "cases/report/versions.h"
#include "cases/report/words.h"
#include "solver/stages/flaw_cost.h"

#include <nlohmann/json.hpp>

#include <algorithm>
#include <cmath>

namespace limbwright
{
namespace
{
using Json = nlohmann::ordered_json;

Json hot_spot(const Case &bow_case, const DrawResults &results, const HotSpot &spot)
{
  const Measure measure = measure_of(spot.mode);
  const std::string unit = measure == Measure::stress ? "_Pa" : measure == Measure::energy ? "_J_per_m2" : "_1";
  Json json;
  json["limb"] = results.symmetric ? "either" : limb_key(spot.limb);
  json["station_m"] = spot.station;
  json["layer"] = layer_name(bow_case, spot);
  json["part"] = spot.glue_line >= 0 ? "glue line" : "lamination";
  json["face"] = spot.glue_line >= 0 ? Json() : Json(face_words(spot.face));
  json["mode"] = mode_key(spot.mode);
  json["index"] = spot.index;
  json["unit"] = unit_of(measure);
  json["value" + unit] = spot.value;
  json["limit" + unit] = spot.limit;
  json["draw_length_at_index_1_m"] = spot.draw_at_one ? Json(*spot.draw_at_one) : Json();
  json["averaged"] = spot.averaged;
  json["note"] = spot.note;
  json["strength_caution"] = strength_caution(bow_case, spot);
  return json;
}

Json glue_edge(const DrawResults &results, LimbName limb, const PatchEnd &edge)
{
  return {{"limb", results.symmetric ? "either" : limb_key(limb)},
          {"station_m", edge.station},
          {"glue_line", edge.line},
          {"back_lamination", edge.back_lamination},
          {"toward_tip", edge.toward_tip},
          {"sideways", edge.sideways},
          {"across_1", edge.across},
          {"opening_J_per_m2", edge.opening},
          {"sliding_J_per_m2", edge.sliding},
          {"toughness_J_per_m2", edge.toughness},
          {"index", edge.index()},
          {"process_zone_m", edge.process_zone}};
}

Json flaw_cost(const Case &bow_case, const DrawResults &results, const FlawCost &cost)
{
  const auto worst = [&](const std::vector<HotSpot> &spots)
  {
    const auto spot = worst_for_people(bow_case, spots);
    return spot ? hot_spot(bow_case, results, *spot) : Json();
  };
  Json json = {{"beside", beside_key(cost.beside)},
               {"complete", cost.complete},
               {"reason", cost.reason},
               {"draw_length_m", cost.draw},
               {"draw_weight_with_N", cost.weight_with},
               {"draw_weight_without_N", cost.weight_without},
               {"stored_energy_with_J", cost.energy_with},
               {"stored_energy_without_J", cost.energy_without},
               {"set_with_m", cost.set_with},
               {"set_without_m", cost.set_without},
               {"flaws", Json::array()},
               {"events", Json::array()},
               {"change_files", cost.change_files}};
  for (const FlawDifference &difference : cost.flaws)
    json["flaws"].push_back(
        {{"limb", results.symmetric ? "either" : limb_key(difference.limb)},
         {"kind", flaw_key(difference.flaw.kind)},
         {"name", flaw_name(bow_case, difference.limb, difference.flaw)},
         {"from_m", difference.flaw.from},
         {"to_m", difference.flaw.to},
         {"role", cost.beside == BowBeside::sound ? Json(role_key(role_of(bow_case, results, difference))) : Json()},
         {"bend_ratio_1", difference.bend_ratio},
         {"bend_station_m", difference.bend_station},
         {"worst_with", worst(difference.with)},
         {"worst_without", worst(difference.without)}});
  const auto when = [](const std::optional<Event> &event) { return event ? Json(event->draw) : Json(); };
  for (const EventDifference &difference : event_differences(results, cost))
    json["events"].push_back({{"what", event_key((difference.with ? difference.with : difference.without)->kind)},
                              {"draw_length_with_m", when(difference.with)},
                              {"draw_length_without_m", when(difference.without)}});
  return json;
}
} // namespace

std::vector<SummaryQuantity> summary_quantities(const Case &bow_case, const DrawResults &results)
{
  const std::vector<DrawCycle> &cycles = results.let_down.cycles;
  const bool last_drawn = static_cast<int>(cycles.size()) == bow_case.solve.cycles; // letting down may end before
  const double string_angle = results.snapshots.empty() ? not_known : results.snapshots.back().point.string_angle;
  const auto *at_brace = braced(results);
  const auto comfortable = comfortable_draw(bow_case, results);
  const auto back_pull = pull_on_back(bow_case, results);
  // What only a bow of two limbs has is not known of a symmetric one.
  const auto of_two = [&](double value) { return results.symmetric || at_brace == nullptr ? not_known : value; };
  const auto aside = [&](const std::string &stage)
  {
    const auto hold = std::find_if(results.sideways.begin(), results.sideways.end(),
                                   [&](const SidewaysHold &one) { return one.stage == stage; });
    return hold == results.sideways.end() ? SidewaysHold{} : *hold;
  };
  return {{"draw_weight_N", "N", results.draw_weight},
          {"draw_length_m", "m", results.draw_length},
          {"draw_length_told_m", "m", results.draw_length + convention_offset(bow_case)},
          {"rise_at_full_draw_N_per_m", "N/m", results.rise_per_metre},
          {"force_1_in_past_full_draw_N", "N", force_past_full_draw(results, 1)},
          {"force_2_in_past_full_draw_N", "N", force_past_full_draw(results, 2)},
          {"comfortable_draw_m", "m", comfortable && !comfortable->never_comfortable ? comfortable->draw : not_known},
          {"brace_height_m", "m", results.brace_height},
          {"brace_tension_N", "N", results.brace_tension},
          {"full_draw_tension_N", "N", results.full_draw_tension},
          {"brace_tension_lower_N", "N", at_brace == nullptr ? not_known : at_brace->point.tension_lower},
          {"full_draw_tension_lower_N", "N", at_brace == nullptr ? not_known : results.snapshots.back().point.tension_lower},
          {"stored_energy_J", "J", results.stored_energy},
          {"energy_per_draw_weight_J_per_N", "J/N", energy_per_weight(results)},
          {"string_slack_length_m", "m", results.string_slack_length},
          {"string_angle_rad", "rad", string_angle},
          {"string_contact_braced_m", "m", at_brace == nullptr ? not_known : at_brace->point.contact_length},
          {"string_lift_off_draw_m", "m", string_lifts_off(results).value_or(not_known)},
          {"string_contact_braced_lower_m", "m", at_brace == nullptr ? not_known : at_brace->point.contact_length_lower},
          {"string_lift_off_draw_lower_m", "m", string_lifts_off(results, LimbName::lower).value_or(not_known)},
          {"back_peel_braced_Pa", "Pa", back_pull ? back_pull->braced : not_known},
          {"back_peel_full_draw_Pa", "Pa", back_pull ? back_pull->last : not_known},
          {"back_peel_station_m", "m", back_pull ? back_pull->station : not_known},
          {"tip_angle_rad", "rad", results.tip_angle},
          {"string_gap_upper_braced_m", "m", of_two(results.gaps_braced.upper)},
          {"string_gap_lower_braced_m", "m", of_two(results.gaps_braced.lower)},
          {"string_gap_upper_full_draw_m", "m", of_two(results.gaps_full.upper)},
          {"string_gap_lower_full_draw_m", "m", of_two(results.gaps_full.lower)},
          {"tiller_braced_m", "m", of_two(results.gaps_braced.tiller())},
          {"tiller_full_draw_m", "m", of_two(results.gaps_full.tiller())},
          {"nocking_travel_m", "m", of_two(nocking_travel(bow_case, results))},
          {"handle_turn_rad", "rad", of_two(handle_turn(results))},
          {"tip_sideways_stiffness_braced_N_per_m", "N/m", aside("braced").stiffness},
          {"tip_sideways_stiffness_full_draw_N_per_m", "N/m", aside("full draw").stiffness},
          {"sideways_critical_factor_braced_1", "1", aside("braced").critical_factor},
          {"sideways_critical_factor_full_draw_1", "1", aside("full draw").critical_factor},
          {"spring_from_described_shape_upper_m", "m", results.spring_upper},
          {"spring_from_described_shape_lower_m", "m", results.spring_lower},
          {"set_upper_m", "m", results.let_down.set_upper},
          {"set_lower_m", "m", results.let_down.set_lower},
          {"draw_weight_after_set_N", "N", last_drawn && cycles.size() > 1 ? cycles.back().draw_weight : not_known},
          {"brace_height_after_set_m", "m", last_drawn && !cycles.empty() ? cycles.back().brace_height : not_known},
          {"energy_lost_first_draw_J", "J", cycles.empty() ? not_known : cycles.front().lost()},
          {"energy_lost_last_draw_J", "J", last_drawn && !cycles.empty() ? cycles.back().lost() : not_known},
          {"mass_upper_kg", "kg", results.mass_upper},
          {"mass_lower_kg", "kg", results.mass_lower}};
}

std::vector<ExpectationOutcome> compare_expectations(const Case &bow_case, const DrawResults &results)
{
  const auto quantities = summary_quantities(bow_case, results);
  std::vector<ExpectationOutcome> outcomes;
  for (const auto &expected : bow_case.expectations)
  {
    const auto found = std::find_if(quantities.begin(), quantities.end(),
                                    [&expected](const SummaryQuantity &q) { return q.key == expected.quantity; });
    ExpectationOutcome outcome{expected};
    if (found != quantities.end())
      outcome.found = found->value;
    outcome.met = results.complete && std::abs(outcome.found - expected.value) <= expected.tolerance; // false with NaN
    outcomes.push_back(outcome);
  }
  return outcomes;
}

std::string summary_json(const Case &bow_case, const DrawResults &results)
{
  Json json;
  json["program"] = "limbwright";
  json["version"] = program_version();
  json["case"] = bow_case.name;
  json["title"] = bow_case.title;
  json["complete"] = results.complete;
  json["failed_stage"] = results.failed_stage;
  json["reason"] = results.reason;
  json["symmetric"] = results.symmetric;
  json["draw_length_convention"] = convention_words(bow_case.convention);
  for (const auto &quantity : summary_quantities(bow_case, results))
    if (quantity.unit != "kg")
      json[quantity.key] = quantity.value;
  json["mass_of_each_limb_kg"] = {{"upper", results.mass_upper}, {"lower", results.mass_lower}};
  if (!results.symmetric)
    for (const LimbName limb : {LimbName::upper, LimbName::lower})
    {
      const Verdict of_limb = verdict_of(bow_case, results, limb);
      json["worst_index_of_each_limb"][limb_key(limb)] = {{"belly", index_of(of_limb.belly)}, {"back", index_of(of_limb.back)}};
    }
  json["comfortable_index"] = comfortable_index;
  const Verdict verdict = verdict_of(bow_case, results);
  const auto side = [&](const std::optional<HotSpot> &spot) { return spot ? hot_spot(bow_case, results, *spot) : Json(); };
  json["verdict"] = {{"level", level_key(verdict.level)},
                     {"worst_index", verdict.worst_index()},
                     {"back", side(verdict.back)},
                     {"belly", side(verdict.belly)},
                     {"glue", side(verdict.glue)}};
  json["worst"] = Json::array();
  for (const auto &spot : results.worst)
    json["worst"].push_back(hot_spot(bow_case, results, spot));
  json["events"] = Json::array();
  for (const Event &event : results.events)
  {
    const std::string layer = layer_name(bow_case, event);
    json["events"].push_back({{"what", event_key(event.kind)},
                              {"draw_length_m", event.draw},
                              {"already_braced", event.braced},
                              {"limb", results.symmetric ? "either" : limb_key(event.limb)},
                              {"station_m", event.station},
                              {"layer", layer.empty() ? Json() : Json(layer)}});
  }
  json["patch_ends"] = Json::array();
  if (!results.snapshots.empty())
    for (const LimbSnapshot &limb : results.snapshots.back().limbs)
      for (const PatchEnd &end : limb.patch_ends)
        json["patch_ends"].push_back(glue_edge(results, limb.limb, end));
  json["free_edges"] = Json::array(); // the greatest of each glue line's ends and sides
  for (const auto &[limb, edge] : greatest_edges(results))
    json["free_edges"].push_back(glue_edge(results, limb, edge));
  json["flaw_costs"] = Json::array();
  for (const FlawCost &cost : results.flaw_costs)
    json["flaw_costs"].push_back(flaw_cost(bow_case, results, cost));
  json["wood_yields"] = bow_case.solve.wood_yields;
  json["let_down"] = {{"complete", results.let_down.complete}, {"reason", results.let_down.reason}, {"cycles", Json::array()}};
  for (const DrawCycle &cycle : results.let_down.cycles)
    json["let_down"]["cycles"].push_back({{"draw_weight_N", cycle.draw_weight},
                                          {"work_J", cycle.work},
                                          {"returned_J", cycle.returned},
                                          {"brace_height_m", cycle.brace_height},
                                          {"brace_tension_N", cycle.brace_tension},
                                          {"glue_parted_m", cycle.parted}});
  json["adjustments"] = Json::array();
  for (const Adjustment &adjustment : bow_in_use(bow_case).adjustments)
    json["adjustments"].push_back({{"material", adjustment.material},
                                   {"cause", adjustment.cause},
                                   {"properties", adjustment.properties},
                                   {"factor", adjustment.factor},
                                   {"source", adjustment.source}});
  json["expectations"] = Json::array();
  for (const auto &outcome : compare_expectations(bow_case, results))
    json["expectations"].push_back({{"quantity", outcome.expected.quantity},
                                    {"expected", outcome.expected.value},
                                    {"tolerance", outcome.expected.tolerance},
                                    {"found", outcome.found},
                                    {"met", outcome.met}});
  return json.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}
} // namespace limbwright
