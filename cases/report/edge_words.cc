#include "cases/report/edge_words.h"

#include "cases/report/answer_parts.h"
#include "cases/report/output_units.h"
#include "cases/report/text_layout.h"
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

bool worse(const PatchEnd &a, const PatchEnd &b)
{
  return std::pair(a.index(), a.total()) > std::pair(b.index(), b.total());
}

std::string edge_line(const Case &bow_case, const DrawResults &results, LimbName limb, const PatchEnd &edge, Units units)
{
  HotSpot names;
  names.limb = limb;
  names.glue_line = edge.line;
  std::string text = fmt::format("  {}, {}, {}, {}: ", told(edge.station, told_draw, units), limb_words(limb, results.symmetric),
                                 layer_name(bow_case, names), edge.sideways ? "side" : "where a layer ends");
  if (edge.toughness > 0.)
    text += fmt::format("index {:.2f}, {}", edge.index(), energy_words(edge.total(), edge.toughness, units));
  else
    text += fmt::format("{:.2f} in-lb per sq in ({:.0f} J/m2), what parting takes is not known of this glue",
                        edge.total() / inch_pound_per_square_inch, edge.total());
  return text + fmt::format(", {:.0f} % of it sliding", edge.sliding_share() / percent);
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

std::string edge_words(const Case &bow_case, const DrawResults &results, Units units)
{
  const auto edges = greatest_edges(results);
  if (edges.empty())
    return {};
  std::string text;
  for (std::size_t i = 0; i < std::min(n_edges_told, edges.size()); ++i)
    text += wrapped(edge_line(bow_case, results, edges[i].first, edges[i].second, units), 4) + "\n";
  const bool sides = std::any_of(edges.begin(), edges.end(), [](const auto &entry) { return entry.second.sideways; });
  const std::string where = sides ? "where a layer ends and at the sides of the limb" : "where a layer ends";
  return wrapped("Free edges of the glue, " + where +
                     ": the energy that the glue holds there, which it would set free if it began to part, of what parting takes "
                     "(the index is the root of their ratio, and grows with the load). An estimate to compare bows by: glue that "
                     "is starved at its edge begins sooner, and once begun it may set more free.",
                 2) +
         "\n" + text + "\n";
}
} // namespace limbwright
