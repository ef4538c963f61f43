#include "cases/study/sizing_words.h"

#include "cases/report/answer_parts.h"
#include "cases/report/output_units.h"
#include "cases/report/verdict.h"
#include "cases/report/words.h"
#include "cases/study/bow_figures.h"
#include "meshing/shape/limb_shape.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>

namespace limbwright
{
namespace
{
constexpr double foot = 12. * inch;

/// The knots of a table within a stretch, its ends included.
std::vector<double> knots(const StationTable &table, double from, double to)
{
  std::vector<double> stations{from};
  for (const double s : table.station)
    if (s > from + 1e-6 && s < to - 1e-6)
      stations.push_back(s);
  stations.push_back(to);
  return stations;
}

/// Thickness lost per length on the longest stretch between knots. [1]
double longest_taper(const StationTable &table, const std::vector<double> &stations)
{
  double longest = 0., taper = 0.;
  for (std::size_t i = 0; i + 1 < stations.size(); ++i)
    if (const double length = stations[i + 1] - stations[i]; length > longest)
    {
      longest = length;
      taper = (table.at(stations[i]) - table.at(stations[i + 1])) / length;
    }
  return taper;
}

std::string grind_list(const Case &was, const Case &is, const Resizing &what)
{
  std::string text = fmt::format("  {:<20}{:>8}{:>8}{:>13}   {:<}\n  {:<20}{:>8}{:>8}{:>13}\n", "Grind", "butt", "tip", "taper",
                                 "(before: butt, tip)", "", "in", "in", "in per foot");
  const LimbDescription &before = was.bow.upper, &after = is.bow.upper;
  for (std::size_t i = 0; i < after.laminations.size(); ++i)
  {
    const LaminationDescription &piece = after.laminations[i], &old = before.laminations[i];
    if (std::find(what.laminations.begin(), what.laminations.end(), piece.name) == what.laminations.end())
      continue;
    const double from = std::max(piece.start, after.root_station), to = std::min(piece.end, after.tip_station);
    const double butt = piece.thickness.at(from), tip = piece.thickness.at(to);
    const auto stations = knots(piece.thickness, from, to);
    text += fmt::format("  {:<20}{:>8.4f}{:>8.4f}{:>13.4f}   ({:.4f}, {:.4f})\n", piece.name, butt / inch, tip / inch,
                        longest_taper(piece.thickness, stations) * foot / inch + 0., old.thickness.at(from) / inch,
                        old.thickness.at(to) / inch);
    if (stations.size() > 2)
    {
      std::vector<std::string> told;
      for (const double s : stations)
        told.push_back(fmt::format("{:.4f} at {:.4g}", piece.thickness.at(s) / inch, s / inch));
      text +=
          wrapped(fmt::format("      taper of the longest stretch (in thick at in from center): {}", fmt::join(told, ", ")), 6) +
          "\n";
    }
  }
  return text;
}

std::string width_list(const Case &was, const Case &is)
{
  std::string text = fmt::format("  {:>10}{:>10}   ({})\n", "at", "width", "before");
  const LimbDescription &limb = is.bow.upper;
  for (const double s : knots(limb.width, limb.root_station, limb.tip_station))
    text +=
        fmt::format("  {:>7.2f} in{:>7.3f} in   ({:.3f})\n", s / inch, limb.width.at(s) / inch, was.bow.upper.width.at(s) / inch);
  return text;
}

std::string stack_list(const Case &bow_case)
{
  const LimbShape shape(bow_case.bow.upper);
  const LimbDescription &limb = shape.description();
  std::string text = fmt::format("  {:<14}{:>14}{:>14}{:>14}\n", "Stack with glue", "whole, in", "no glass, in", "width, in");
  const double first = std::ceil(limb.root_station / (4. * inch) - 1e-9) * 4. * inch;
  std::vector<double> stations;
  for (double s = first; s < limb.tip_station - 0.5 * inch; s += 4. * inch)
    stations.push_back(s);
  stations.push_back(limb.tip_station);
  for (const double s : stations)
  {
    double glass = 0.;
    for (std::size_t i = 0; i < shape.n_laminations(); ++i)
      if (shape.present(i, s) && bow_case.bow.materials.at(limb.laminations[i].material).kind == MaterialKind::composite)
        glass += shape.thickness(i, s);
    text += fmt::format("  at {:>5.2f} in   {:>14.4f}{:>14.4f}{:>14.3f}\n", s / inch, shape.stack(s) / inch,
                        (shape.stack(s) - glass) / inch, shape.width(s) / inch);
  }
  return text;
}

std::string how_words(const Resizing &what)
{
  if (what.width)
    return "Every width changes by the same factor, so the outline keeps its shape.";
  if (what.in_proportion)
    return "The piece feathers out inside the limb: its ends stay, and its thickness changes in proportion.";
  return what.laminations.size() > 1 ? "Same tapers, new butt thicknesses, each changed by the same amount."
                                     : "Same taper, new butt thickness.";
}
} // namespace

std::string amount_words(const Resizing &what, double amount)
{
  const char *verb = amount < 0. ? "take off" : "add";
  if (what.width)
    return std::abs(amount) < 5e-5 ? "change nothing" : fmt::format("{} {:.2f} % of every width", verb, 100. * std::abs(amount));
  if (std::abs(amount) < 5e-5 * inch)
    return "change nothing";
  const std::string pieces =
      what.laminations.size() == 1 ? what.laminations.front() : fmt::format("each of {}", fmt::join(what.laminations, ", "));
  return fmt::format("{} {:.4f} in {} {}{}", verb, std::abs(amount) / inch, amount < 0. ? "from" : "to", pieces,
                     what.in_proportion ? " where it is thickest" : "");
}

std::string sizing_words(const Case &was, const Resizing &what, const Sizing &sizing, double weight)
{
  const double first = sizing.trials.empty() ? not_known : sizing.trials.front().weight;
  if (sizing.results.snapshots.empty())
    return wrapped("The bow as described could not be drawn, so there is nothing to start from: " + sizing.reason + ".", 0) +
           "\n";
  const BowFigures f = figures_of(sizing.sized, sizing.results);
  std::string text = (was.title.empty() ? was.name : was.title) + "\n\n";
  const std::string at = draw_told(was, was.bow.full_draw);
  if (sizing.reached)
    text +=
        wrapped(fmt::format("For {} at {}: {}.", number(weight, pound_force, "lb", 1), at, amount_words(what, sizing.amount)), 2);
  else
    text += wrapped(fmt::format("{} at {} CANNOT BE REACHED this way; the closest is {}: {}. {}.",
                                number(weight, pound_force, "lb", 1), at, number(f.weight, pound_force, "lb", 1),
                                amount_words(what, sizing.amount),
                                sizing.reason.empty() ? "No trial came closer" : "What stops it: " + sizing.reason),
                    2);
  text += "\n  " + wrapped(how_words(what), 2) + "\n\n";
  text +=
      (what.width ? width_list(was, sizing.sized) : grind_list(was, sizing.sized, what)) + "\n" + stack_list(sizing.sized) + "\n";
  text += "  " +
          wrapped(fmt::format("It then pulls {} at {} ({} before), stacks {} at full draw and stores {}. Each limb weighs {}.",
                              number(f.weight, pound_force, "lb", 1), at, number(first, pound_force, "lb", 1),
                              number(f.rise, pound_force / inch, "lb per in", 2), number(f.energy, foot_pound, "ft-lb", 1),
                              number(0.5 * f.mass, ounce_mass, "oz", 1)),
                  2) +
          "\n";
  const Verdict verdict = verdict_of(sizing.sized, sizing.results);
  text +=
      "  " +
      wrapped(capital(level_words(verdict.level)) + ". " + hardest_worked_words(sizing.sized, verdict, sizing.results.symmetric),
              2) +
      "\n";
  if (const auto balance = balance_words(sizing.sized, verdict, sizing.results.symmetric); !balance.empty())
    text += "  " + wrapped(balance, 2) + "\n";
  text += fmt::format("  Found in {} full run{}.\n", sizing.trials.size(), sizing.trials.size() == 1 ? "" : "s");
  return text;
}
} // namespace limbwright
