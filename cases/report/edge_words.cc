#include "cases/report/edge_words.h"

#include "cases/report/answer_parts.h"
#include "cases/report/output_units.h"
#include "cases/report/text_layout.h"
#include "cases/report/words.h"
#include "meshing/shape/limb_shape.h"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <limits>
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

// The lamination on the line's back side where it would part: where a lamination ends the line may go on to another one.
int back_of(const DrawResults &results, LimbName limb, const PatchEnd &edge)
{
  int back = -1;
  double nearest = std::numeric_limits<double>::infinity();
  for (const LimbSnapshot &snapshot : results.snapshots.back().limbs)
    if (snapshot.limb == limb)
      for (const GlueState &glue : snapshot.glue)
      {
        const double beyond = (glue.station - edge.station) * (edge.toward_tip ? 1. : -1.);
        if (glue.line == edge.line && (edge.sideways || beyond > same_station) && std::abs(beyond) < nearest)
        {
          nearest = std::abs(beyond);
          back = glue.back_lamination;
        }
      }
  return back;
}

// The energies are small ones: two figures.
std::string of_toughness(const PatchEnd &edge, Units units)
{
  const std::string metric = fmt::format("{:.2g} of {:.0f} J/m2", edge.total(), edge.toughness);
  if (units == Units::metric)
    return metric;
  return fmt::format("{:.2g} of {:.2g} in-lb per sq in ({})", edge.total() / inch_pound_per_square_inch,
                     edge.toughness / inch_pound_per_square_inch, metric);
}

std::string edge_line(const Case &bow_case, const DrawResults &results, LimbName limb, const PatchEnd &edge, Units units)
{
  HotSpot names;
  names.limb = limb;
  names.glue_line = edge.line;
  names.back_lamination = back_of(results, limb, edge);
  std::string text = fmt::format("  {}, {}, {}, {}: ", told(edge.station, told_draw, units), limb_words(limb, results.symmetric),
                                 layer_name(bow_case, names), edge.sideways ? "side" : "where a layer ends");
  if (edge.toughness > 0.)
    text += fmt::format("index {:.2f}, {}", edge.index(), of_toughness(edge, units));
  else
    text += fmt::format("{:.2g} J/m2, what parting takes is not known of this glue", edge.total());
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
