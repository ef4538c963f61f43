#include "cases/report/comparison.h"

#include "cases/report/answer_parts.h"
#include "cases/report/trade_figures.h"
#include "cases/report/verdict.h"
#include "cases/report/words.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <stdexcept>

namespace limbwright
{
namespace
{
double largest_strain(const DrawResults &results, double sign)
{
  double largest = not_known;
  if (!results.snapshots.empty())
    for (const auto &limb : results.snapshots.back().limbs)
      for (const auto &face : limb.faces)
        if (!(sign * face.strain_along <= sign * largest))
          largest = face.strain_along;
  return largest;
}

double comfortable_to(const StoredRun &run)
{
  const auto found = comfortable_draw(run.bow_case, run.results);
  return found && !found->never_comfortable ? found->draw + convention_offset(run.bow_case) : not_known;
}

bool scaled(const std::vector<ComparedRun> &runs)
{
  return std::any_of(runs.begin(), runs.end(), [](const ComparedRun &run) { return run.width_factor != 1.; });
}

} // namespace

std::string difference_told(double difference, const ToldUnit &unit, Units units)
{
  if (!std::isfinite(difference))
    return {};
  const auto text = fmt::format("{:+.{}f}", difference / unit.size(units), unit.decimals(units));
  return text.find_first_of("123456789") == std::string::npos ? "=" : text;
}

std::vector<ComparedRun> compared(std::vector<StoredRun> runs, const std::vector<std::string> &names, bool at_equal_weight)
{
  std::vector<ComparedRun> result;
  for (std::size_t i = 0; i < runs.size(); ++i)
  {
    result.push_back({names.at(i), std::move(runs[i])});
    if (!at_equal_weight)
      continue;
    if (!(result[i].run.results.draw_weight > 0.))
      throw std::runtime_error(names[i] + " was not drawn, so its weight cannot be made equal; leave out --equal-weight");
    result[i].width_factor = result[0].run.results.draw_weight / result[i].run.results.draw_weight;
  }
  return result;
}

std::vector<ComparedQuantity> compared_quantities(const std::vector<ComparedRun> &runs)
{
  std::vector<ComparedQuantity> quantities;
  const auto add =
      [&](const char *name, const ToldUnit &unit, bool goes_with_width, const std::function<double(const StoredRun &)> &of)
  {
    ComparedQuantity quantity{name, &unit, {}};
    for (const auto &run : runs)
      quantity.values.push_back(of(run.run) * (goes_with_width ? run.width_factor : 1.));
    if (std::any_of(quantity.values.begin(), quantity.values.end(), [](double value) { return std::isfinite(value); }))
      quantities.push_back(std::move(quantity));
  };
  const auto figure = [&](const char *name, const ToldUnit &unit, bool goes_with_width, double DrawResults::*member)
  { add(name, unit, goes_with_width, [member](const StoredRun &run) { return run.results.*member; }); };
  figure("draw weight", told_force, true, &DrawResults::draw_weight);
  add("draw length", told_draw, false,
      [](const StoredRun &run) { return run.results.draw_length + convention_offset(run.bow_case); });
  figure("stacking", told_rise, true, &DrawResults::rise_per_metre);
  add("comfortable to", told_draw, false, comfortable_to);
  figure("energy stored", told_energy, true, &DrawResults::stored_energy);
  add("energy per weight", told_energy_per_force, false, [](const StoredRun &run) { return energy_per_weight(run.results); });
  figure("brace height", told_length, false, &DrawResults::brace_height);
  figure("string tension, braced", told_tension, true, &DrawResults::brace_tension);
  figure("string tension, drawn", told_tension, true, &DrawResults::full_draw_tension);
  figure("upper limb weighs", told_mass, true, &DrawResults::mass_upper);
  const auto used = [&](const char *name, std::optional<HotSpot> Verdict::*side) {
    add(name, told_used, false, [side](const StoredRun &run) { return index_of(verdict_of(run.bow_case, run.results).*side); });
  };
  add("hardest worked, of its strength", told_used, false,
      [](const StoredRun &run) { return verdict_of(run.bow_case, run.results).worst_index(); });
  used("back", &Verdict::back);
  used("belly", &Verdict::belly);
  used("core", &Verdict::core);
  used("glue", &Verdict::glue);
  add("largest tension strain", told_strain, false, [](const StoredRun &run) { return largest_strain(run.results, 1.); });
  add("largest compression strain", told_strain, false, [](const StoredRun &run) { return largest_strain(run.results, -1.); });
  add("set, upper", told_length, false, [](const StoredRun &run) { return run.results.let_down.set_upper; });
  add("draw weight, next draw", told_force, true,
      [](const StoredRun &run)
      { return run.results.let_down.cycles.size() > 1 ? run.results.let_down.cycles.back().draw_weight : not_known; });
  return quantities;
}

std::string equal_weight_words(const std::vector<ComparedRun> &runs, Units units)
{
  if (!scaled(runs))
    return {};
  auto text = fmt::format("At equal draw weight, {}: each bow is made wider or narrower by one factor over its whole length.",
                          told(runs.front().run.results.draw_weight, told_force, units));
  bool stretches = false, solid = false;
  for (const auto &run : runs)
  {
    text += fmt::format(" {}: width x {:.3f}", run.name, run.width_factor);
    const double EA = run.run.bow_case.bow.string.stiffness;
    if (std::isfinite(EA) && EA > 0.)
    {
      stretches = true;
      text += fmt::format(", string EA {} instead of {}", told(run.width_factor * EA, told_tension, units),
                          told(EA, told_tension, units));
    }
    text += ".";
    solid = solid || run.run.bow_case.solve.dimension == 3;
  }
  text += " Weight, tension, energy and limb mass scale with width; strain, stress, % of strength and set stay the same.";
  if (stretches)
    text += " The string's stiffness is scaled too; with the same string on a wider limb they would change a little.";
  if (solid)
    text += " This is exact in the side view only; a solid is also stressed across its width.";
  return text + " To keep the width and change the thickness instead, edit the bow file and draw it again.";
}

std::string comparison_table(const std::vector<ComparedRun> &runs)
{
  std::string text;
  for (std::size_t i = 0; i < runs.size(); ++i)
  {
    const auto &bow_case = runs[i].run.bow_case;
    const auto &results = runs[i].run.results;
    const Verdict verdict = verdict_of(bow_case, results);
    text += fmt::format("  {}. {}: {}\n     ", i + 1, runs[i].name, bow_case.title.empty() ? bow_case.name : bow_case.title) +
            wrapped((results.complete ? capital(level_words(verdict.level)) : "NOT FINISHED") +
                        (verdict.back || verdict.belly ? "; " + sides_words(bow_case, verdict, results.symmetric) : "") + ".",
                    5, 83) +
            "\n";
  }
  text += fmt::format("\n  {:<34}", "");
  for (std::size_t i = 0; i < runs.size(); ++i)
    text += fmt::format("{:>9}{}", fmt::format("{}.", i + 1), i == 0 ? "" : fmt::format("{:>9}", fmt::format("{}.-1.", i + 1)));
  text += "\n";
  for (const auto &quantity : compared_quantities(runs))
  {
    const auto &unit = *quantity.unit;
    text += fmt::format("  {:<34}", quantity.name + (*unit.trade != '\0' ? std::string(", ") + unit.trade : std::string()));
    for (std::size_t i = 0; i < quantity.values.size(); ++i)
    {
      const double value = quantity.values[i];
      text +=
          fmt::format("{:>9}", std::isfinite(value) ? fmt::format("{:.{}f}", value / unit.trade_size, unit.trade_decimals) : "-");
      if (i > 0)
        text += fmt::format("{:>9}", difference_told(value - quantity.values.front(), unit, Units::trade));
    }
    text += "\n";
  }
  const auto words = equal_weight_words(runs, Units::trade);
  return text + (words.empty() ? std::string() : "\n  " + wrapped(words, 2) + "\n");
}
} // namespace limbwright
