#include "solver/failure/energy_release.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <optional>
#include <utility>

namespace limbwright
{
namespace
{
// A way in which an open element may have one ahead of it that holds.
struct Front
{
  int column, strip; // step to the element ahead
  int edge;          // first local node of the element ahead on their common edge
  int stride;        // from there to the next local node of that edge
  int inward;        // from the edge to the next local node into the element ahead
};
constexpr Front fronts[] = {{-1, 0, 2, 3, -1}, {1, 0, 0, 3, 1}, {0, -1, 6, 1, -3}, {0, 1, 0, 1, 3}};
} // namespace

template <int dim>
std::vector<PatchEnd> energy_release(const LayeredSolid<dim> &solid, const Eigen::VectorXd &u)
{
  using Element = typename LayeredSolid<dim>::GlueElement;
  std::map<std::array<int, 3>, const Element *> by_place; // line, column, strip
  for (const Element &element : solid.glue())
    by_place[{element.line, element.column, element.strip}] = &element;

  const auto &nodes = solid.nodes();
  const auto place = [&](const Element &element, int k)
  { return Eigen::Vector3d(Eigen::Map<const Eigen::Vector3d>(nodes[element.belly_nodes[k]].place.data())); };
  // What the faces of an open element have moved apart, its gap not counted.
  const auto moved_apart = [&](const Element &open)
  {
    auto apart = solid.separations(open, u);
    const GlueLineDescription &line = solid.shape().description().glue[static_cast<std::size_t>(open.line)];
    const GluePatch *patch = patch_at(line, nodes[open.belly_nodes[1]].station);
    for (std::size_t k = 0; k < apart.size(); ++k)
      apart[k][0] -= (dim == 3 ? std::cos(line.slant) : 1.) * patch->gap_at(nodes[open.belly_nodes[k]].station);
    return apart;
  };
  std::map<std::array<int, 3>, PatchEnd> worst; // line, column of an end (-1 for the sides), which way
  for (const auto &[where, open] : by_place)
    for (int way = 0; way < (dim == 2 ? 2 : 4); ++way)
    {
      const Front &front = fronts[way];
      const auto next = by_place.find({where[0], where[1] + front.column, where[2] + front.strip});
      if (!open->open || next == by_place.end() || next->second->open)
        continue;
      const Element &ahead = *next->second;
      const auto traction = solid.tractions(ahead, u);
      const auto apart = moved_apart(*open);
      double area = 0.;
      for (const double weight : ahead.weight)
        area += weight;
      const double stretch = std::sqrt((place(ahead, front.edge + 2 * front.inward) - place(ahead, front.edge)).norm() /
                                       (place(*open, front.edge) - place(*open, front.edge + 2 * front.inward)).norm());
      PatchEnd edge;
      edge.line = where[0];
      edge.toward_tip = front.column > 0;
      edge.sideways = front.strip != 0;
      const int middle = dim == 2 ? front.edge : front.edge + front.stride;
      edge.station = nodes[ahead.belly_nodes[middle]].station;
      edge.across = nodes[ahead.belly_nodes[middle]].across;
      // Closed by the length of the element ahead, its nodes come to the separations as much less behind the edge as they lie
      // ahead of it, its far nodes to those of the edge itself, which are not nothing where glue gives.
      for (int k = 0; k < (dim == 2 ? 1 : 3); ++k)
        for (int row = 0; row < 3; ++row)
        {
          const int at_edge = front.edge + k * front.stride, far = at_edge + 2 * front.inward;
          const int at = at_edge + row * front.inward; // of the open element as far ahead of its far edge
          const auto met = (apart[far] + stretch * (apart[at] - apart[far])).eval();
          const double share = 0.5 * ahead.weight[at] / area;
          edge.opening += share * std::max(0., traction[at].peel) * std::max(0., met[0]);
          edge.sliding += share * (traction[at].shear * met[1] + (dim == 3 ? traction[at].shear_across * met[dim - 1] : 0.));
        }
      edge.sliding = std::max(0., edge.sliding);
      const auto [entry, is_new] = worst.try_emplace({where[0], front.column != 0 ? where[1] : -1, way}, edge);
      if (!is_new && edge.total() > entry->second.total())
        entry->second = edge;
    }
  std::vector<PatchEnd> result;
  for (const auto &[key, edge] : worst)
    result.push_back(edge);
  return result;
}

template std::vector<PatchEnd> energy_release(const LayeredSolid<2> &, const Eigen::VectorXd &);
template std::vector<PatchEnd> energy_release(const LayeredSolid<3> &, const Eigen::VectorXd &);
} // namespace limbwright
