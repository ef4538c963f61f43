#pragma once

#include "solver/failure/glue_traction.h"
#include "solver/failure/recovery.h"
#include "solver/stages/loads.h"

#include <algorithm>
#include <cmath>

namespace limbwright::checks
{
/// The node of a lamination nearest to a station and a depth [m].
template <int dim>
int node_at(const LayeredSolid<dim> &solid, double station, double depth, int lamination)
{
  int best = -1;
  double least = 0.;
  for (std::size_t n = 0; n < solid.nodes().size(); ++n)
  {
    const auto &node = solid.nodes()[n];
    const double distance = std::hypot(node.station - station, node.depth - depth);
    if (node.lamination == lamination && (best < 0 || distance < least))
    {
      best = static_cast<int>(n);
      least = distance;
    }
  }
  return best;
}

/// The point of a glue line nearest to a station [m].
inline const LineTraction &traction_at(const std::vector<LineTraction> &line, double station)
{
  return *std::min_element(line.begin(), line.end(),
                           [&](const LineTraction &a, const LineTraction &b)
                           { return std::abs(a.station - station) < std::abs(b.station - station); });
}

/// A force [N] that keeps its direction, spread evenly over one lamination's part of a cross-section; the parameter multiplies
/// it.
inline Loads layer_force(const LayeredSolid<2> &solid, double station, int lamination, const Eigen::Vector2d &force)
{
  Eigen::VectorXd nodal = Eigen::VectorXd::Zero(solid.space().n_dofs());
  double total = 0.;
  for (const auto &[node, share] : solid.section_shares(station))
    if (solid.nodes()[node].lamination == lamination)
    {
      nodal.segment<2>(2 * node) = share * force;
      total += share;
    }
  const Eigen::VectorXd reduced = solid.space().restrict_to_free(nodal) / total;
  return [reduced](const State &, double parameter, CoupledSystem &system)
  {
    system.residual[0] -= parameter * reduced;
    system.residual_rate[0] -= reduced;
  };
}
} // namespace limbwright::checks
