#include "cases/report/page/page_data.h"

#include "cases/report/answer_parts.h"
#include "cases/report/conditions_words.h"
#include "cases/report/page/advice.h"
#include "cases/report/page/base64.h"
#include "cases/report/page/page_parts.h"
#include "cases/report/page/questions.h"
#include "cases/report/split_words.h"
#include "cases/report/text_file.h"
#include "cases/report/trade_figures.h"
#include "cases/report/verdict.h"
#include "cases/report/versions.h"
#include "cases/report/words.h"

#include <algorithm>
#include <cmath>

namespace limbwright
{
namespace
{
constexpr std::size_t n_spots_told = 8, n_index_curves = 5;

PageJson figure(const char *name, double value, const ToldUnit &unit)
{
  return {{"name", name}, {"value", in_both([&](Units units) { return told(value, unit, units); })}};
}

PageJson figures_part(const StoredRun &run)
{
  const auto &r = run.results;
  PageJson list = PageJson::array();
  const auto add = [&](const char *name, double value, const ToldUnit &unit)
  {
    if (std::isfinite(value))
      list.push_back(figure(name, value, unit));
  };
  add("draw weight", r.draw_weight, told_force);
  add("draw length", r.draw_length + convention_offset(run.bow_case), told_draw);
  add("stacking", r.rise_per_metre, told_rise);
  add("brace height", r.brace_height, told_length);
  add("string tension, braced", r.brace_tension, told_tension);
  add("string tension, drawn", r.full_draw_tension, told_tension);
  add("energy stored", r.stored_energy, told_energy);
  add("string length, no tension", r.string_slack_length, told_length);
  add(r.symmetric ? "each limb weighs" : "upper limb weighs", r.mass_upper, told_mass);
  if (!r.symmetric)
  {
    add("lower limb weighs", r.mass_lower, told_mass);
    add("tiller, braced", r.gaps_braced.tiller(), told_length);
    add("tiller, drawn", r.gaps_full.tiller(), told_length);
  }
  add(r.symmetric ? "set after the draws" : "set after the draws, upper", r.let_down.set_upper, told_length);
  if (!r.symmetric)
    add("set after the draws, lower", r.let_down.set_lower, told_length);
  if (r.let_down.cycles.size() > 1)
    add("draw weight, next draw", r.let_down.cycles.back().draw_weight, told_force);
  return list;
}

PageJson spots_part(const StoredRun &run)
{
  PageJson list = PageJson::array();
  const auto ranked = verdict_of(run.bow_case, run.results).worst;
  for (std::size_t i = 0; i < std::min(n_spots_told, ranked.size()); ++i)
  {
    const HotSpot &spot = ranked[i];
    const Advice advice = advice_on(run.bow_case, spot);
    PageJson json = {{"rank", i + 1}, {"index", spot.index}, {"mode", failure_words(run.bow_case, spot)}};
    json["used"] = strength_used(spot);
    json["station"] = spot.station;
    json["place"] = in_both([&](Units units) { return place_words(run.bow_case, spot, run.results.symmetric, units); });
    json["load"] = in_both([&](Units units) { return failure_words(run.bow_case, spot) + load_and_limit(spot, units); });
    json["when"] = in_both([&](Units units) { return when_it_fails(run.bow_case, run.results, spot, units); });
    json["look"] = advice.look;
    json["helps"] = advice.helps;
    json["cautions"] = PageJson::array();
    const auto caution = strength_caution(run.bow_case, spot);
    for (const auto &text : {averaging_words(run.results, spot), caution, spot.note == caution ? std::string() : spot.note})
      if (!text.empty())
        json["cautions"].push_back(text);
    json["close_up"] = close_up_part(run, spot);
    list.push_back(std::move(json));
  }
  return list;
}

/// The worst place that lies in a layer, for the cut through the limb.
const HotSpot *worst_in_a_layer(const std::vector<HotSpot> &ranked)
{
  const auto found = std::find_if(ranked.begin(), ranked.end(), [](const HotSpot &spot) { return spot.glue_line < 0; });
  return found == ranked.end() ? nullptr : &*found;
}

PageJson events_part(const StoredRun &run)
{
  PageJson list = PageJson::array();
  for (const Event &event : run.results.events)
    list.push_back({{"when", in_both([&](Units units) { return event_when(run.bow_case, event, units); })},
                    {"what", in_both([&](Units units) { return event_what(run.bow_case, run.results, event, units); })}});
  return list;
}

PageJson assumptions_part(const StoredRun &run)
{
  PageJson list = {"Distances along a limb are from center (the middle of the handle), along the back. Draw length is measured " +
                       convention_words(run.bow_case.convention) + ".",
                   "The side view: the limb in the plane of the draw, with its width at every depth. No twist, no knot and no "
                   "flaw on one edge only.",
                   run.bow_case.solve.wood_yields ? "Wood yields only in compression along the grain; in tension it is elastic."
                                                  : "This run kept the wood elastic, so it says nothing about set.",
                   "Glue is elastic and whole unless the bow file says otherwise. The string has no thickness and no friction. "
                   "The handle is rigid as far out as the bow file says.",
                   "No creep, no fatigue and no shot: no arrow speed, no hand shock."};
  const auto conditions = conditions_words(run.bow_case);
  if (!conditions.empty())
    list.push_back(unwrapped(conditions));
  return list;
}

PageJson pictures_part(const std::vector<PagePicture> &pictures)
{
  PageJson list = PageJson::array();
  for (const auto &picture : pictures)
    list.push_back({{"title", picture.title},
                    {"alt", picture.alt},
                    {"source", "data:image/png;base64," + base64(read_text_file(picture.file))}});
  return list;
}

std::string dumped(const PageJson &json)
{
  return json.dump(-1, ' ', false, PageJson::error_handler_t::replace);
}
} // namespace

PageJson in_both(const std::function<std::string(Units)> &text)
{
  return {{"trade", text(Units::trade)}, {"metric", text(Units::metric)}};
}

PageJson page_units()
{
  PageJson units;
  const auto add = [&](const char *kind, const ToldUnit &unit)
  {
    for (const Units system : {Units::trade, Units::metric})
      units[kind][system == Units::trade ? "trade" : "metric"] = {
          {"name", unit.name(system)}, {"size", unit.size(system)}, {"decimals", unit.decimals(system)}};
  };
  add("draw", told_draw);
  add("length", told_length);
  add("thickness", told_thickness);
  add("force", told_force);
  add("rise", told_rise);
  add("stress", told_stress);
  add("glue_stress", told_glue_stress);
  add("strain", told_strain);
  add("curvature", told_curvature);
  return units;
}

std::string page_data(const StoredRun &run, const std::vector<PagePicture> &pictures)
{
  const auto &[bow_case, results] = run;
  const Verdict verdict = verdict_of(bow_case, results);
  PageJson json = {{"program", "limbwright " + program_version()},
                   {"name", bow_case.name},
                   {"title", bow_case.title.empty() ? bow_case.name : bow_case.title},
                   {"about", bow_case.about},
                   {"complete", results.complete},
                   {"symmetric", results.symmetric},
                   {"units", page_units()},
                   {"convention", convention_words(bow_case.convention)},
                   {"comfortable_index", comfortable_index}};
  json["verdict"] = {
      {"level", static_cast<int>(verdict.level)},
      {"words", level_words(verdict.level)},
      {"text", in_both([&drawn = bow_case, &of = results](Units units) { return verdict_sentence(drawn, of, units); })}};
  json["figures"] = figures_part(run);
  json["questions"] = PageJson::array();
  const auto trade = twelve_questions(bow_case, results, Units::trade);
  const auto metric = twelve_questions(bow_case, results, Units::metric);
  for (std::size_t i = 0; i < trade.size(); ++i)
    json["questions"].push_back(
        {{"question", trade[i].question}, {"answer", {{"trade", trade[i].answer}, {"metric", metric[i].answer}}}});
  json["pictures"] = pictures_part(pictures);
  json["curve"] = draw_curve_part(run);
  json["shapes"] = shapes_part(run);
  json["limbs"] = limbs_part(run);
  json["index"] = index_part(run, n_index_curves);
  json["spots"] = spots_part(run);
  const auto *cut = worst_in_a_layer(verdict.worst);
  json["section"] = cut == nullptr ? PageJson() : section_part(run, cut->limb, cut->station);
  json["events"] = events_part(run);
  json["materials"] = materials_part(run);
  json["assumptions"] = assumptions_part(run);
  json["caution"] = caution_words();
  json["run"] = {{"cells", results.solve.cells}, {"unknowns", results.solve.unknowns}};
  return dumped(json);
}
} // namespace limbwright
