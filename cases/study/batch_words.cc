#include "cases/report/answer_parts.h"
#include "cases/report/output_units.h"
#include "cases/report/words.h"
#include "cases/study/batch.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

namespace limbwright
{
namespace
{
std::string deviation_words(const Tolerance &tolerance)
{
  using Kind = Tolerance::Kind;
  const bool length = tolerance.kind == Kind::thickness || tolerance.kind == Kind::draw || tolerance.kind == Kind::brace;
  return length ? fmt::format("{:.4f} in", tolerance.deviation / inch) : fmt::format("{:.1f} %", tolerance.deviation / percent);
}
} // namespace

Table batch_table(const std::vector<Tolerance> &tolerances, const BatchPlan &plan, const BatchBows &bows)
{
  Table table;
  const auto add = [&](const std::string &name, const std::string &unit, double size, auto value)
  {
    std::vector<double> values;
    for (const auto &[i, bow] : bows)
      values.push_back(value(i, bow) / size);
    table.columns.push_back({name, unit, std::move(values)});
  };
  add("bow", "", 1., [](std::size_t i, const BatchBow &) { return static_cast<double>(i); });
  add("draw_weight", "lb", pound_force, [](std::size_t, const BatchBow &bow) { return bow.weight; });
  add("belly_index", "", 1., [](std::size_t, const BatchBow &bow) { return bow.belly_index; });
  add("back_index", "", 1., [](std::size_t, const BatchBow &bow) { return bow.back_index; });
  add("glue_index", "", 1., [](std::size_t, const BatchBow &bow) { return bow.glue_index; });
  add("worst_index", "", 1., [](std::size_t, const BatchBow &bow) { return bow.worst_index; });
  add("comfortable", "", 1., [](std::size_t, const BatchBow &bow) { return bow.comfortable; });
  add("mass_both_limbs", "oz", ounce_mass, [](std::size_t, const BatchBow &bow) { return bow.mass; });
  for (std::size_t t = 0; t < tolerances.size(); ++t)
  {
    std::string name = tolerances[t].words + " in deviations";
    std::replace(name.begin(), name.end(), ' ', '_');
    add(name, "", 1., [&](std::size_t i, const BatchBow &) { return batch_point(i, tolerances.size(), plan.seed)[t]; });
  }
  return table;
}

std::string batch_words(const Case &bow_case, const BatchPlan &plan, const std::vector<Tolerance> &tolerances,
                        const BatchBows &bows, const std::optional<LinearSpread> &linear, double aim)
{
  const BatchStatistics s = statistics_of(bows, aim);
  std::string text = (bow_case.title.empty() ? bow_case.name : bow_case.title) + "\n\n";
  text += "  " + wrapped(fmt::format("Of {} bows built to the same design, {:.0f} % come within 2 lb of {} at {}. The average is "
                                     "{}; 2 in 3 are within {:.1f} lb of it.",
                                     bows.size(), 100. * s.share_within, number(aim, pound_force, "lb", 1),
                                     draw_told(bow_case, bow_case.bow.full_draw), number(s.mean, pound_force, "lb", 1),
                                     s.deviation / pound_force),
                         2);
  text += "\n  " +
          wrapped(fmt::format("{:.0f} % are comfortable at that draw; {:.0f} % are past their strength somewhere{}.{}",
                              100. * s.share_comfortable, 100. * s.share_above_one,
                              s.n_failed > 0 ? fmt::format(", counting {} that could not be drawn", s.n_failed) : std::string{},
                              s.n_drawn > 0 ? fmt::format(" In {:.0f} % of those drawn the back works harder than the belly.",
                                                          100. * s.share_back_governs)
                                            : std::string{}),
                  2) +
          "\n";
  if (linear)
  {
    const double whole = linear->deviation();
    text += "\n  " +
            wrapped(fmt::format("What moves the weight most (all together {}; good for small changes only). Each line: one "
                                "standard deviation, what it does to the weight, and its part of the variance.",
                                number(whole, pound_force, "lb", 2)),
                    2) +
            "\n";
    std::vector<std::size_t> order(tolerances.size());
    std::iota(order.begin(), order.end(), 0U);
    std::stable_sort(order.begin(), order.end(),
                     [&](std::size_t a, std::size_t b) { return std::abs(linear->effects[a]) > std::abs(linear->effects[b]); });
    for (std::size_t k = 0; k < std::min<std::size_t>(order.size(), 8); ++k)
    {
      const std::size_t t = order[k];
      text += fmt::format("    {:<34}{:>12}{:>+9.2f} lb{:>6.0f} %\n", tolerances[t].words, deviation_words(tolerances[t]),
                          linear->effects[t] / pound_force, 100. * std::pow(linear->effects[t] / whole, 2));
    }
  }
  text += fmt::format("\n  Scatter used (standard deviations; seed {}):\n", plan.seed);
  const std::string sizes = scatter_words(plan.sizes);
  for (std::size_t from = 0; from < sizes.size(); from = sizes.find('\n', from) + 1)
    text += "    " + sizes.substr(from, sizes.find('\n', from) - from) + "\n";
  return text + "  " +
         wrapped("The figures for wood come from tables of whole species (FPL 2010, Table 5-6). Strips from one board, or strips "
                 "you weighed and flexed, scatter less: state your own with --scatter. Compression along the grain scatters by "
                 "wood_strength; tension, shear and strength across the grain scatter more or less, as in that table. A stiff "
                 "piece is a strong one: the two correlate (JCSS 2006: 0.6 along the grain, 0.4 in shear and across it). The "
                 "effect of a modulus on the weight includes the strength that goes with it; the effect of a strength is what is "
                 "left at a given modulus.",
                 2) +
         "\n";
}
} // namespace limbwright
