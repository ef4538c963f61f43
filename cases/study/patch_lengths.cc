#include "cases/study/patch_lengths.h"

#include "cases/report/answer_parts.h"
#include "cases/report/output_units.h"
#include "cases/report/verdict.h"
#include "cases/report/words.h"
#include "cases/run/run.h"
#include "cases/study/margin_map.h"
#include "meshing/shape/glue_stretches.h"
#include "meshing/shape/splits.h"

#include <fmt/core.h>

#include <algorithm>
#include <stdexcept>

namespace limbwright
{
namespace
{
std::vector<GlueLineDescription> &glue_of(Case &bow_case, LimbName limb)
{
  return limb == LimbName::lower && bow_case.bow.lower ? bow_case.bow.lower->glue : bow_case.bow.upper.glue;
}

void check_room(const LimbDescription &limb, const PatchName &which, const GluePatch &longest)
{
  const double middle = 0.5 * (longest.from + longest.to);
  if (!runs_through(glue_stretches(LimbShape(limb)), which.glue_line, longest.from, longest.to))
    throw std::invalid_argument(
        fmt::format("a patch of {:.2f} in centered at {:.2f} in runs off its glue line: a layer ends there",
                    (longest.to - longest.from) / inch, middle / inch));
  const auto &patches = limb.glue[which.glue_line].patches;
  for (std::size_t i = 0; i < patches.size(); ++i)
    if (i != which.patch && patches[i].from < longest.to && longest.from < patches[i].to)
      throw std::invalid_argument(fmt::format("a patch of {:.2f} in would run into the one at {:.2f} in",
                                              (longest.to - longest.from) / inch, patches[i].from / inch));
}

PatchAtLength at_length(const DrawResults &results, const PatchName &which, double middle, double length)
{
  PatchAtLength row;
  row.length = length;
  row.complete = results.complete;
  row.reason = results.reason;
  if (results.complete)
    row.draw_weight = results.draw_weight;
  else if (results.draw_length > results.brace_height && results.draw_weight > 0.)
    row.reached = results.draw_length;
  else
    return row;
  const auto ours = [&](int line, double station)
  { return line == static_cast<int>(which.glue_line) && std::abs(station - middle) < 0.51 * length; };
  for (const LimbSnapshot &limb : results.snapshots.back().limbs)
    if (limb.limb == which.limb)
      for (const PatchEnd &end : limb.patch_ends)
        if (ours(end.line, end.station))
          (end.toward_tip ? row.tip_end : row.handle_end) = end;
  for (const Event &event : results.events)
    if (event.kind == Event::Kind::layer_buckles && event.limb == which.limb && ours(event.glue_line, event.station))
      row.buckles = event;
  return row;
}
} // namespace

const PatchEnd *PatchAtLength::worse_end() const
{
  if (tip_end && (!handle_end || tip_end->index() >= handle_end->index()))
    return &*tip_end;
  return handle_end ? &*handle_end : nullptr;
}

double PatchAtLength::index() const
{
  const PatchEnd *end = worse_end();
  return end == nullptr ? 0. : end->index();
}

std::optional<std::pair<double, double>> PatchLengths::critical() const
{
  const PatchAtLength *held = nullptr;
  for (const PatchAtLength &row : rows)
    if (row.could_grow())
      return held == nullptr ? std::nullopt : std::optional(std::pair(held->length, row.length));
    else if (row.holds())
      held = &row;
  return std::nullopt;
}

std::vector<PatchName> open_patches(const Case &bow_case)
{
  std::vector<PatchName> names;
  for (const LimbName limb : {LimbName::upper, LimbName::lower})
  {
    if (limb == LimbName::lower && !bow_case.bow.lower)
      continue;
    const auto &glue = limb_of(bow_case, limb).glue;
    for (std::size_t line = 0; line < glue.size(); ++line)
      for (std::size_t patch = 0; patch < glue[line].patches.size(); ++patch)
        if (glue[line].patches[patch].open() && !lifts_splinter(limb_of(bow_case, limb), line))
          names.push_back({limb, line, patch});
  }
  return names;
}

PatchLengths solve_patch_lengths(const Case &bow_case, const PatchName &which, std::vector<double> lengths,
                                 const ProgressListener &listener, const std::atomic<bool> *stop)
{
  std::sort(lengths.begin(), lengths.end());
  lengths.erase(std::unique(lengths.begin(), lengths.end()), lengths.end());
  Case changed = bow_case;
  changed.solve.cycles = 0;
  GluePatch &patch = glue_of(changed, which.limb)[which.glue_line].patches[which.patch];
  PatchLengths found;
  found.limb = which.limb;
  found.middle = 0.5 * (patch.from + patch.to);
  found.glue_line = static_cast<int>(which.glue_line);
  GluePatch longest = patch;
  longest.from = found.middle - 0.5 * lengths.back();
  longest.to = found.middle + 0.5 * lengths.back();
  check_room(limb_of(bow_case, which.limb), which, longest);
  const auto solve = [&](double length)
  {
    patch.from = found.middle - 0.5 * length;
    patch.to = found.middle + 0.5 * length;
    const DrawResults results = run_draw(changed, {}, listener, stop);
    found.stopped = stop != nullptr && *stop;
    if (found.stopped)
      return;
    const auto next = std::find_if(found.rows.begin(), found.rows.end(), [&](const auto &row) { return row.length > length; });
    found.rows.insert(next, at_length(results, which, found.middle, length));
  };
  for (const double length : lengths)
    if (!found.stopped)
      solve(length);
  constexpr int most_between = 4;
  constexpr double near_enough = 0.1; // [1]
  for (int i = 0; i < most_between && !found.stopped; ++i)
  {
    const auto critical = found.critical();
    if (!critical || critical->second - critical->first <= near_enough * critical->second)
      break;
    const std::size_t n_told = found.rows.size();
    const double middle = 0.5 * (critical->first + critical->second);
    solve(middle);
    const bool told =
        std::any_of(found.rows.begin(), found.rows.end(),
                    [middle](const PatchAtLength &row) { return row.length == middle && (row.holds() || row.could_grow()); });
    if (found.rows.size() == n_told || !told)
      break;
  }
  return found;
}

double patch_bound(const Case &bow_case, const PatchName &which, const std::atomic<bool> *stop)
{
  const LimbDescription &limb = limb_of(bow_case, which.limb);
  const GluePatch &patch = limb.glue[which.glue_line].patches[which.patch];
  const double middle = 0.5 * (patch.from + patch.to);
  const std::vector<GlueStretch> stretches = glue_stretches(LimbShape(limb));
  const GlueStretch *stretch = stretch_at(stretches, which.glue_line, middle);
  double least = not_known;
  if (stretch != nullptr)
    for (const InchMargin &margin : margin_map(bow_case, 1., stop).inches)
      if (margin.limb == which.limb && margin.glue_line == static_cast<int>(stretch->line) &&
          margin.back_lamination == static_cast<int>(stretch->back) && std::abs(margin.station - middle) <= 0.5 * inch + 1e-9 &&
          !(margin.patch >= least))
        least = margin.patch;
  return least;
}

namespace
{
/// Why the index of a longer patch is lower, where one is.
std::string falling_words(const PatchLengths &found)
{
  for (std::size_t i = 1; i < found.rows.size(); ++i)
  {
    const PatchAtLength &shorter = found.rows[i - 1], &longer = found.rows[i];
    if (!shorter.holds() || !longer.holds() || shorter.index() < longer.index() + 0.01)
      continue;
    const PatchEnd &before = *shorter.worse_end(), &after = *longer.worse_end();
    return fmt::format(
        "A patch of {:.2f} in uses less of its strength than one of {:.2f} in. The gap is the same at every length, so a shorter "
        "patch opens at a steeper angle at its ends. There {:.0f} % of the energy is opening, against {:.0f} % in the longer "
        "one, and opening takes less energy than shear. At greater lengths shear, or a buckling layer, takes the % up again.\n",
        longer.length / inch, shorter.length / inch, 100. * (1. - before.sliding_share()), 100. * (1. - after.sliding_share()));
  }
  return {};
}

/// What margins tell of the same place, and whether the solutions bear it out.
std::string bound_words(const PatchLengths &found)
{
  if (std::isnan(found.bound))
    return {};
  const auto within = [&](auto is)
  {
    return std::any_of(found.rows.begin(), found.rows.end(),
                       [&](const PatchAtLength &row) { return row.length <= found.bound && is(row); });
  };
  std::string text = fmt::format("By the limits of 'limbwright margins' (from the bow without the patch, faces 0.005 in apart), "
                                 "a patch of {:.2f} in here reaches 100 %. ",
                                 found.bound / inch);
  if (within([](const PatchAtLength &row) { return row.could_grow(); }))
    text += "That is too long: a shorter one that was run could grow. Trust the runs. The limit treats each layer as a strut, in "
            "the shape that the bow has without the patch.";
  else if (within([](const PatchAtLength &row) { return row.holds(); }))
    text += "No patch that was run up to that length could grow. The limit is on the safe side: it keeps compression and shear "
            "as high as without the patch.";
  return text + " The table of 'margins' shows the tightest inch of a whole glue line, which may be another one, at its own % of "
                "strength.\n";
}
} // namespace

std::string patch_lengths_words(const Case &bow_case, const PatchLengths &found)
{
  HotSpot names;
  names.limb = found.limb;
  names.glue_line = found.glue_line;
  names.station = found.middle;
  std::string text =
      fmt::format("Open patch in the glue line {}, {:.2f} in from center\n\n", layer_name(bow_case, names), found.middle / inch);
  text += "  patch   weight    used at the end     energy released, in-lb per sq in     loose layer\n"
          "     in       lb   handle      tip       handle         tip    to grow      buckles\n";
  for (const PatchAtLength &row : found.rows)
  {
    if (!row.complete)
    {
      const std::string so_far =
          std::isnan(row.reached)
              ? std::string()
              : fmt::format("; drawn to {}, {} used there", draw_told(bow_case, row.reached), strength_used(row.index()));
      text += fmt::format("  {:5.2f}  {}\n", row.length / inch, wrapped("not finished: " + row.reason + so_far, 9, 80));
      continue;
    }
    const auto index = [](const std::optional<PatchEnd> &end) { return end ? strength_used(end->index()) : std::string("-"); };
    const auto energy = [](const std::optional<PatchEnd> &end)
    { return end ? fmt::format("{:.2f}", end->total() / inch_pound_per_square_inch) : std::string("-"); };
    const PatchEnd *worse = row.worse_end();
    text += fmt::format("  {:5.2f}  {:7.1f}  {:>7}  {:>7}  {:>11}  {:>10}  {:>9}      {}\n", row.length / inch,
                        row.draw_weight / pound_force, index(row.handle_end), index(row.tip_end), energy(row.handle_end),
                        energy(row.tip_end),
                        worse ? fmt::format("{:.1f}", worse->toughness / inch_pound_per_square_inch) : std::string("-"),
                        !row.buckles          ? std::string("no")
                        : row.buckles->braced ? std::string("at brace")
                                              : "at " + draw_told(bow_case, row.buckles->draw));
  }
  text += "\n";
  const auto anyone = [&](auto is) { return std::any_of(found.rows.begin(), found.rows.end(), is); };
  if (const auto critical = found.critical())
    text += wrapped(fmt::format("Critical length: between {:.2f} and {:.2f} in ({:.0f} and {:.0f} mm), both run. A longer patch "
                                "has the energy to grow before full draw.",
                                critical->first / inch, critical->second / inch, critical->first / millimetre,
                                critical->second / millimetre),
                    0);
  else if (anyone([](const PatchAtLength &row) { return row.could_grow(); }))
    text += wrapped("Even the shortest length run has the energy to grow before full draw: the critical length is shorter.", 0);
  else if (anyone([](const PatchAtLength &row) { return !row.complete; }))
    text += wrapped("No length run has the energy to grow as far as it was drawn. The study says nothing about the lengths that "
                    "did not finish.",
                    0);
  else
    text += "No length run has the energy to grow up to full draw.";
  for (const std::string &more : {falling_words(found), bound_words(found)})
    if (!more.empty())
      text += "\n" + wrapped(more, 0);
  return text + "\n" +
         wrapped("Used: the square root of the energy released over the energy it takes to open the glue; at 100 % the patch "
                 "grows. This assumes the glue softens over a length much shorter than the patch; for a very short patch the % "
                 "is too high. These are estimates for a maker's judgment.",
                 0) +
         "\n";
}
} // namespace limbwright
