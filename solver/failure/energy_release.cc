#include "solver/failure/energy_release.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <utility>

namespace limbwright
{
std::vector<PatchEnd> energy_release(const LayeredSolid<2> &solid, const Eigen::VectorXd &u)
{
  using Element = LayeredSolid<2>::GlueElement;
  std::map<std::pair<int, int>, const Element *> by_place; // line, column
  for (const Element &element : solid.glue())
    by_place[{element.line, element.column}] = &element;

  const auto station = [&](const Element &element, int k) { return solid.nodes()[element.belly_nodes[k]].station; };
  std::vector<PatchEnd> result;
  for (const auto &[place, open] : by_place)
    for (const int way : {-1, 1})
    {
      const auto next = by_place.find({place.first, place.second + way});
      if (!open->open || next == by_place.end() || next->second->open)
        continue;
      const Element &ahead = *next->second;
      PatchEnd edge;
      edge.line = place.first;
      edge.toward_tip = way > 0;
      edge.station = station(*open, way > 0 ? 2 : 0);
      const auto traction = solid.tractions(ahead, u);
      const auto apart = solid.separations(*open, u);
      const double area = ahead.weight[0] + ahead.weight[1] + ahead.weight[2];
      const double lengths = std::abs((station(ahead, 2) - station(ahead, 0)) / (station(*open, 2) - station(*open, 0)));
      // The edge's own node, and the middle one; each with the node as far behind the edge as what it lets go lies ahead.
      for (const auto &[holds, behind] : {std::pair{way > 0 ? 0 : 2, way > 0 ? 0 : 2}, std::pair{1, 1}})
      {
        const double share = 0.5 * ahead.weight[holds] / area * std::sqrt(lengths);
        edge.opening += share * std::max(0., traction[holds].peel) * std::max(0., apart[behind].x());
        edge.sliding += share * traction[holds].shear * apart[behind].y();
      }
      edge.sliding = std::max(0., edge.sliding);
      result.push_back(edge);
    }
  return result;
}
} // namespace limbwright
