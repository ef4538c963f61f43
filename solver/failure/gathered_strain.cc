#include "solver/failure/gathered_strain.h"

#include <algorithm>
#include <cmath>
#include <map>

namespace limbwright
{
namespace
{
// One element of a lamination along a line of nodes.
struct Stretch
{
  double from, to; // [m] stations
  int middle;      // its middle node: strain is linear along the element, so the mean is there
};

// Lines of elements by lamination and height in it, counted in half rows from the belly; the nodes that lie on each.
struct Line
{
  std::vector<Stretch> stretches; // by station
  std::vector<int> nodes;
};

bool holds_wood(const LayeredSolid<2> &solid, int node)
{
  const auto *weak = solid.weak_parts_at(node);
  if (weak == nullptr)
    return true;
  const auto &knots = solid.shape().description().weak.knots;
  return std::any_of(weak->begin(), weak->end(),
                     [&](const WeakPart &part)
                     {
                       const KnotState state =
                           part.strip.knot < 0 ? KnotState::sound : knots[static_cast<std::size_t>(part.strip.knot)].state;
                       return state != KnotState::loose && state != KnotState::hole;
                     });
}

std::map<std::pair<int, int>, Line> lines_of(const LayeredSolid<2> &solid)
{
  std::map<std::pair<int, int>, Line> lines;
  for (const auto &cell : solid.cells())
    for (int i = 0; i < 3; ++i)
    {
      Line &line = lines[{cell.lamination, 2 * cell.row + i}];
      const auto station = [&](int j) { return solid.nodes()[static_cast<std::size_t>(cell.nodes[i + 3 * j])].station; };
      if (const int middle = cell.nodes[i + 3]; holds_wood(solid, middle))
        line.stretches.push_back({station(0), station(2), middle});
      for (int j = 0; j < 3; ++j)
        line.nodes.push_back(cell.nodes[i + 3 * j]);
    }
  for (auto &[place, line] : lines)
  {
    const auto before = [](const Stretch &a, const Stretch &b) { return a.from < b.from; };
    const auto same = [](const Stretch &a, const Stretch &b) { return a.middle == b.middle; }; // two rows share a face
    std::sort(line.stretches.begin(), line.stretches.end(), before);
    line.stretches.erase(std::unique(line.stretches.begin(), line.stretches.end(), same), line.stretches.end());
    std::sort(line.nodes.begin(), line.nodes.end());
    line.nodes.erase(std::unique(line.nodes.begin(), line.nodes.end()), line.nodes.end());
  }
  return lines;
}

// The longest gauge among those of the knots that a station lies beside; zero: none.
double gauge_at(const LimbShape &shape, double station)
{
  double gauge = 0.;
  for (const Knot &knot : shape.description().weak.knots)
    if (const double own = std::max(2. * gauge_over_knot * knot.half_along(), shape.stack(knot.station));
        std::abs(station - knot.station) < knot.half_along() + own / 2.)
      gauge = std::max(gauge, own);
  return gauge;
}
} // namespace

std::vector<int> spread_gathered_strain(const LayeredSolid<2> &solid, NodalFields &fields)
{
  const WeakZones &weak = solid.shape().description().weak;
  if (weak.knots.empty() || weak.told_sound)
    return {};
  const auto raw = fields.strain;
  std::vector<int> changed;
  for (const auto &[place, line] : lines_of(solid))
    for (const int node : line.nodes)
    {
      const double station = solid.nodes()[static_cast<std::size_t>(node)].station, gauge = gauge_at(solid.shape(), station);
      if (gauge == 0. || !holds_wood(solid, node))
        continue;
      const double from = station - gauge / 2., to = station + gauge / 2.;
      LayeredSolid<2>::Strain sum = LayeredSolid<2>::Strain::Zero();
      double length = 0.;
      bool yielded = false;
      for (const Stretch &stretch : line.stretches)
        if (const double within = std::min(to, stretch.to) - std::max(from, stretch.from); within > 0.)
        {
          const auto middle = static_cast<std::size_t>(stretch.middle);
          sum += within * raw[middle];
          length += within;
          yielded = yielded || fields.crushed.at_node[middle] > 0.;
        }
      if (!yielded)
        continue;
      fields.strain[static_cast<std::size_t>(node)] = sum / length;
      changed.push_back(node);
    }
  return changed;
}
} // namespace limbwright
