#include "solver/failure/recovery.h"

#include <algorithm>
#include <cmath>
#include <map>

namespace limbwright
{
NodalFields recover_nodal_fields(const LayeredSolid<2> &solid, const Eigen::VectorXd &u,
                                 const std::vector<double> &crushed_before)
{
  const std::size_t n_nodes = solid.nodes().size();
  NodalFields fields;
  fields.strain.assign(n_nodes, Eigen::Vector3d::Zero());
  fields.stress.assign(n_nodes, Eigen::Vector3d::Zero());
  fields.crushed = crushed_before.empty() ? std::vector<double>(n_nodes, 0.) : crushed_before;
  std::vector<int> count(n_nodes, 0);
  for (const auto &cell : solid.cells())
  {
    const auto gauss = solid.gauss_strains(cell, u); // (-,-) (+,-) (-,+) (+,+), first coordinate from belly to back
    for (int k = 0; k < 9; ++k)
    {
      // A node at local coordinate 1 lies at sqrt(3) of the Gauss points' square.
      const double x = std::sqrt(3.) * (k % 3 - 1), y = std::sqrt(3.) * (k / 3 - 1);
      const Eigen::Vector3d value = 0.25 * ((1. - x) * (1. - y) * gauss[0] + (1. + x) * (1. - y) * gauss[1] +
                                            (1. - x) * (1. + y) * gauss[2] + (1. + x) * (1. + y) * gauss[3]);
      fields.strain[cell.nodes[k]] += value;
      ++count[cell.nodes[k]];
    }
  }
  for (std::size_t node = 0; node < n_nodes; ++node)
  {
    fields.strain[node] /= count[node];
    const int lamination = solid.nodes()[node].lamination;
    if (const std::vector<WeakPart> *weak = solid.weak_parts_at(static_cast<int>(node)))
    {
      const double before = fields.crushed[node];
      for (const WeakPart &part : *weak)
      {
        const CrushedStress step = own_stress(part, part.to_own * fields.strain[node], before);
        fields.stress[node] += part.strip.share * (part.to_own.transpose() * step.stress);
        fields.crushed[node] = std::max(fields.crushed[node], step.plastic_strain);
      }
    }
    else if (const auto &law = solid.crushing_law(lamination))
    {
      const CrushedStress step = crush(*law, solid.stiffness(lamination), fields.strain[node], fields.crushed[node]);
      fields.stress[node] = step.stress;
      fields.crushed[node] = step.plastic_strain;
    }
    else
      fields.stress[node] = solid.stiffness(lamination) * fields.strain[node];
  }
  return fields;
}

FibreStress fibre_stress(const LayeredSolid<2> &solid, int lamination, double E_L, double strain, double crushed_before)
{
  const auto &law = solid.crushing_law(lamination);
  if (!law)
    return {E_L * strain, 0.};
  const CrushedStress step =
      crush(*law, Eigen::Vector3d(E_L, 1., 1.).asDiagonal(), Eigen::Vector3d(strain, 0., 0.), crushed_before);
  return {step.stress[0], step.plastic_strain};
}

std::vector<SectionFit> fit_sections(const LayeredSolid<2> &solid, const NodalFields &fields)
{
  const auto without_prestrain = [&](int index)
  {
    const auto &node = solid.nodes()[index];
    return fields.strain[index][0] - solid.shape().prestrain(static_cast<std::size_t>(node.lamination), node.station, node.depth);
  };
  std::vector<SectionFit> fits;
  for (const double station : solid.column_stations())
  {
    double depth = 0., strain = 0., depth2 = 0., product = 0.;
    const auto shares = solid.section_shares(station);
    for (const auto &[node, share] : shares)
    {
      depth += share * solid.nodes()[node].depth;
      strain += share * without_prestrain(node);
    }
    for (const auto &[node, share] : shares)
    {
      const double d = solid.nodes()[node].depth - depth;
      depth2 += share * d * d;
      product += share * d * without_prestrain(node);
    }
    const double slope = product / depth2;
    fits.push_back({station, strain - slope * depth, slope});
  }
  return fits;
}

namespace
{
// Mean over a window of a function given at the three nodes of each element, quadratic in each: points 2 e, 2 e + 1, 2 e + 2.
double mean_over(const std::vector<LineTraction> &points, double LineTraction::*value, double from, double to)
{
  double integral = 0.;
  for (std::size_t i = 0; i + 2 < points.size(); i += 2)
  {
    const double start = points[i].station, length = points[i + 2].station - start;
    const double a = std::max(from, start), b = std::min(to, start + length);
    if (b <= a)
      continue;
    const auto at = [&](double s)
    {
      const double x = (s - start) / length; // the middle node lies at one half
      return (1. - x) * (1. - 2. * x) * points[i].*value + 4. * x * (1. - x) * points[i + 1].*value +
             x * (2. * x - 1.) * points[i + 2].*value;
    };
    integral += (b - a) / 6. * (at(a) + 4. * at(0.5 * (a + b)) + at(b));
  }
  return integral / (to - from);
}
} // namespace

std::vector<LineTraction> line_tractions(const LayeredSolid<2> &solid, int line, const Eigen::VectorXd &u,
                                         double averaging_length)
{
  std::map<double, std::pair<LineTraction, int>> by_station;
  for (const auto &element : solid.glue())
  {
    if (element.line != line)
      continue;
    const auto traction = solid.tractions(element, u);
    const GluePatch *patch = patch_at(solid.shape().description().glue[line], solid.nodes()[element.belly_nodes[1]].station);
    const auto apart = element.open ? solid.separations(element, u) : std::array<Eigen::Vector2d, 3>{};
    for (int k = 0; k < 3; ++k)
    {
      // Neighbouring elements share a station to the last bit: both take it from the same node.
      auto &[sum, count] = by_station[solid.nodes()[element.belly_nodes[k]].station];
      sum.thickness += element.thickness[k];
      sum.peel += traction[k].peel;
      sum.shear += traction[k].shear;
      sum.parted = std::max(sum.parted, solid.glue_state(element, k).fraction);
      if (element.open)
        sum.opened = std::max(sum.opened, apart[k].x() - patch->gap_at(solid.nodes()[element.belly_nodes[k]].station));
      ++count;
    }
  }
  std::vector<LineTraction> points;
  for (const auto &[station, entry] : by_station)
  {
    const auto &[sum, count] = entry;
    points.push_back({station, sum.thickness / count, sum.peel / count, sum.shear / count, 0., 0., sum.parted, sum.opened});
  }
  if (points.empty())
    return points;
  const double first = points.front().station, last = points.back().station;
  const double length = std::min(averaging_length, last - first);
  for (LineTraction &point : points)
  {
    const double from = std::clamp(point.station - length / 2., first, last - length);
    point.mean_peel = mean_over(points, &LineTraction::peel, from, from + length);
    point.mean_shear = mean_over(points, &LineTraction::shear, from, from + length);
  }
  return points;
}
} // namespace limbwright
