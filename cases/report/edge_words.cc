#include "cases/report/edge_words.h"

#include "cases/report/answer_parts.h"
#include "cases/report/output_units.h"
#include "cases/report/text_layout.h"
#include "cases/report/verdict.h"
#include "cases/report/words.h"

#include <fmt/core.h>

#include <algorithm>
#include <map>
#include <tuple>

namespace limbwright
{
namespace
{
constexpr std::size_t n_edges_told = 3;
constexpr double told_from = 0.2; // [1] index of a free edge in the answer: four per cent of the energy; judgement

bool worse(const PatchEnd &a, const PatchEnd &b)
{
  return std::pair(a.index(), a.total()) > std::pair(b.index(), b.total());
}

std::string place(const Case &bow_case, const DrawResults &results, LimbName limb, const PatchEnd &edge, Units units)
{
  HotSpot names;
  names.limb = limb;
  names.glue_line = edge.line;
  names.back_lamination = edge.back_lamination;
  return told(edge.station, told_draw, units) + " from center, " + limb_words(limb, results.symmetric) + ", " +
         layer_name(bow_case, names);
}

// A side along which an open patch of part of the width would grow.
std::string side_of_patch(const Case &bow_case, LimbName limb, const PatchEnd &edge)
{
  constexpr double in_middle = 0.02; // [1] of half the width
  if (limb_of(bow_case, limb).even_across())
    return ", a side, growing across: ";
  if (std::abs(edge.across) < in_middle)
    return ", its side at mid-width, growing across: ";
  return fmt::format(", its side {:.0f} % of the way from mid-width to the edge on {}, growing across: ",
                     std::abs(edge.across) / percent, side_words(edge.across));
}

// Energy, and how much of it is sliding.
std::string energy(const PatchEnd &edge, Units units)
{
  std::string text;
  if (edge.toughness > 0.)
    text = "at " + strength_used(edge.index()) + ", " + energy_words(edge.total(), edge.toughness, units);
  else
    text = fmt::format("{:.2g} J/m2 (fracture energy of this glue not known)", edge.total());
  return text + fmt::format(", {:.0f} % of it in shear", edge.sliding_share() / percent);
}
} // namespace

std::vector<std::pair<LimbName, PatchEnd>> greatest_edges(const DrawResults &results)
{
  std::vector<std::pair<LimbName, PatchEnd>> list;
  if (results.snapshots.empty())
    return list;
  std::map<std::tuple<LimbName, int, bool>, PatchEnd> greatest;
  for (const LimbSnapshot &limb : results.snapshots.back().limbs)
    for (const PatchEnd &edge : limb.free_edges)
    {
      const auto [entry, is_new] = greatest.try_emplace({limb.limb, edge.line, edge.sideways}, edge);
      if (!is_new && worse(edge, entry->second))
        entry->second = edge;
    }
  for (const auto &[key, edge] : greatest)
    list.emplace_back(std::get<LimbName>(key), edge);
  std::stable_sort(list.begin(), list.end(), [](const auto &a, const auto &b) { return worse(a.second, b.second); });
  return list;
}

std::string patch_words(const Case &bow_case, const DrawResults &results, Units units)
{
  if (results.snapshots.empty())
    return {};
  std::string text;
  for (const LimbSnapshot &limb : results.snapshots.back().limbs)
    for (const PatchEnd &end : limb.patch_ends)
    {
      std::string line = "  " + place(bow_case, results, limb.limb, end, units) +
                         (end.sideways     ? side_of_patch(bow_case, limb.limb, end)
                          : end.toward_tip ? ", end toward the tip: "
                                           : ", end toward the handle: ") +
                         energy(end, units);
      if (end.toughness > 0.)
        line += "; ahead of it the glue softens over " + told(end.process_zone, told_length, units);
      text += wrapped(line, 4) + "\n";
    }
  if (text.empty())
    return {};
  return wrapped("Ends of open patches and splits: the energy that growth would release, of what it takes to open the glue (or "
                 "the wood, in a split). The percentage is the square root of that ratio, so it rises in step with the load. It "
                 "holds where the glue softens over a length much shorter than the patch. With parts = \"yes\" the run itself "
                 "shows whether the patch grows.",
                 2) +
         "\n" + text + "\n";
}

std::string edge_words(const Case &bow_case, const DrawResults &results, Units units)
{
  auto edges = greatest_edges(results);
  std::erase_if(edges, [](const auto &entry) { return entry.second.toughness > 0. && entry.second.index() < told_from; });
  if (edges.empty())
    return {};
  std::string text;
  for (std::size_t i = 0; i < std::min(n_edges_told, edges.size()); ++i)
    text += wrapped("  " + place(bow_case, results, edges[i].first, edges[i].second, units) +
                        (!edges[i].second.sideways ? ", where a layer ends: "
                         : limb_of(bow_case, edges[i].first).even_across()
                             ? ", side: "
                             : ", the side on " + side_words(edges[i].second.across) + ": ") +
                        energy(edges[i].second, units),
                    4) +
            "\n";
  const bool sides = std::any_of(edges.begin(), edges.end(), [](const auto &entry) { return entry.second.sideways; });
  const std::string where = sides ? "where a layer ends and at the sides of the limb" : "where a layer ends";
  return wrapped("Free edges of the glue, " + where +
                     ": the energy that would be released if the glue began to open there, of what opening takes. The percentage "
                     "is the square root of that ratio, so it rises in step with the load. Use it to compare bows: glue starved "
                     "at its edge starts sooner, and once started it may release more.",
                 2) +
         "\n" + text + "\n";
}
} // namespace limbwright
