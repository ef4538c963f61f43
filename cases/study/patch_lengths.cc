#include "cases/study/patch_lengths.h"

#include "cases/report/answer_parts.h"
#include "cases/report/output_units.h"
#include "cases/report/verdict.h"
#include "cases/report/words.h"
#include "cases/run/run.h"
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
  if (longest.from < limb.root_station || longest.to > limb.tip_station)
    throw std::invalid_argument(
        fmt::format("a patch of {:.2f} in about its middle at {:.2f} in does not lie on the limb, {:.2f} to "
                    "{:.2f} in",
                    (longest.to - longest.from) / inch, 0.5 * (longest.from + longest.to) / inch, limb.root_station / inch,
                    limb.tip_station / inch));
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
  if (!results.complete)
    return row;
  row.draw_weight = results.draw_weight;
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

double PatchAtLength::index() const
{
  return std::max(handle_end ? handle_end->index() : 0., tip_end ? tip_end->index() : 0.);
}

std::optional<double> PatchLengths::critical() const
{
  const PatchAtLength *before = nullptr;
  for (const PatchAtLength &row : rows)
  {
    if (!row.complete)
      continue;
    if (before != nullptr && before->index() < 1. && row.index() >= 1.)
      return before->length + (row.length - before->length) * (1. - before->index()) / (row.index() - before->index());
    before = &row;
  }
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
  found.middle = 0.5 * (patch.from + patch.to);
  found.glue_line = static_cast<int>(which.glue_line);
  GluePatch longest = patch;
  longest.from = found.middle - 0.5 * lengths.back();
  longest.to = found.middle + 0.5 * lengths.back();
  check_room(limb_of(bow_case, which.limb), which, longest);
  for (const double length : lengths)
  {
    patch.from = found.middle - 0.5 * length;
    patch.to = found.middle + 0.5 * length;
    const DrawResults results = run_draw(changed, {}, listener, stop);
    if (stop != nullptr && *stop)
    {
      found.stopped = true;
      break;
    }
    found.rows.push_back(at_length(results, which, found.middle, length));
  }
  return found;
}

std::string patch_lengths_words(const Case &bow_case, const PatchLengths &found)
{
  HotSpot names;
  names.glue_line = found.glue_line;
  std::string text = fmt::format("Open patch in the glue line {}, about {:.2f} in from the middle of the handle\n\n",
                                 layer_name(bow_case, names), found.middle / inch);
  text += "  patch   weight    used at the end     energy it frees, in-lb per sq in     loose layer\n"
          "     in       lb   handle      tip       handle         tip      takes      buckles\n";
  for (const PatchAtLength &row : found.rows)
  {
    if (!row.complete)
    {
      text += fmt::format("  {:5.2f}  {}\n", row.length / inch, wrapped("not finished: " + row.reason, 9, 80));
      continue;
    }
    const auto index = [](const std::optional<PatchEnd> &end) { return end ? strength_used(end->index()) : std::string("-"); };
    const auto energy = [](const std::optional<PatchEnd> &end)
    { return end ? fmt::format("{:.2f}", end->total() / inch_pound_per_square_inch) : std::string("-"); };
    const std::optional<PatchEnd> &worse =
        row.tip_end && (!row.handle_end || row.tip_end->index() >= row.handle_end->index()) ? row.tip_end : row.handle_end;
    text += fmt::format("  {:5.2f}  {:7.1f}  {:>7}  {:>7}  {:>11}  {:>10}  {:>9}      {}\n", row.length / inch,
                        row.draw_weight / pound_force, index(row.handle_end), index(row.tip_end), energy(row.handle_end),
                        energy(row.tip_end),
                        worse ? fmt::format("{:.1f}", worse->toughness / inch_pound_per_square_inch) : std::string("-"),
                        !row.buckles          ? std::string("no")
                        : row.buckles->braced ? std::string("when strung")
                                              : "at " + draw_told(bow_case, row.buckles->draw));
  }
  text += "\n";
  if (const auto critical = found.critical())
    text += wrapped(
        fmt::format("Critical length: about {:.2f} in ({:.0f} mm), read between the lengths that were solved. A longer one "
                    "has the energy to grow by itself by full draw.",
                    *critical / inch, *critical / millimetre),
        0);
  else if (!found.rows.empty() && found.rows.front().complete && found.rows.front().index() >= 1.)
    text += wrapped("Every length solved has the energy to grow by itself by full draw: the critical length is shorter than the "
                    "shortest.",
                    0);
  else
    text += "No length solved has the energy to grow by itself up to full draw.";
  return text + "\n" +
         wrapped("Used: the root of the energy freed over the energy that parting the glue takes; at 100 % it grows. It supposes "
                 "that the glue "
                 "softens over a length that is short beside the patch: of a patch as short as that, it says too much. These are "
                 "estimates for a maker's judgement.",
                 0) +
         "\n";
}
} // namespace limbwright
