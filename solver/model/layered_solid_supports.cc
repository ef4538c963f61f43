// The supports of LayeredSolid, and the numbering of what they leave.
#include "meshing/mesh/limb_mesh.h"
#include "solver/model/layered_solid.h"
#include "solver/model/quadratic_line.h"

#include <deal.II/lac/affine_constraints.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace limbwright
{
template <int dim>
std::map<int, double> LayeredSolid<dim>::section_shares(double station) const
{
  const double tolerance = 1e-9 * (1. + std::abs(station));
  const int first = std::abs(station - column_stations().back()) < tolerance ? 6 : 0; // tip side, or root side
  using quadratic_line::simpson, quadratic_line::slope;
  std::map<int, double> share;
  double total = 0.;
  for (const Cell &cell : cell_list)
  {
    const auto at = [&](int i, int k) -> const Node & { return node_list[cell.nodes[first + i + 9 * k]]; };
    if (std::abs(at(0, 0).station - station) > tolerance)
      continue;
    const double height = std::abs(at(0, 0).depth - at(2, 0).depth);
    for (int i = 0; i < 3; ++i)
      for (int k = 0; k < (dim == 2 ? 1 : 3); ++k)
      {
        double area = simpson[i];
        if constexpr (dim == 2)
          area *= height * shape().width(station, at(i, 0).depth);
        else // of the parallelogram at the node, in the plane of depth and z
        {
          Eigen::Vector2d down = Eigen::Vector2d::Zero(), over = down;
          for (int l = 0; l < 3; ++l)
          {
            const Node &along_row = at(l, k), &along_strip = at(i, l);
            down += slope[i][l] * Eigen::Vector2d(along_row.depth + along_row.fallen, along_row.place[2]);
            over += slope[k][l] * Eigen::Vector2d(along_strip.depth + along_strip.fallen, along_strip.place[2]);
          }
          area *= simpson[k] * std::abs(down.x() * over.y() - down.y() * over.x());
        }
        share[cell.nodes[first + i + 9 * k]] += area;
        total += area;
      }
  }
  if (share.empty())
    throw std::logic_error("no mesh line lies at the station of a support or load");
  for (auto &[node, area] : share)
    area /= total;
  return share;
}

template <int dim>
void LayeredSolid<dim>::make_supports(const Supports &supports)
{
  dealii::AffineConstraints<double> constraints;
  // Fixes a node's displacement along unit direction d by eliminating the component in which d is larger.
  const auto fix = [&](int node, const Eigen::Vector2d &d)
  {
    const int c = std::abs(d[0]) > std::abs(d[1]) ? 0 : 1;
    const auto dof = static_cast<dealii::types::global_dof_index>(dim * node + c);
    const auto other = static_cast<dealii::types::global_dof_index>(dim * node + 1 - c);
    if (constraints.is_constrained(dof) || constraints.is_constrained(other))
    {
      for (const auto free : {dof, other})
        if (!constraints.is_constrained(free))
          constraints.add_line(free);
      return;
    }
    constraints.add_line(dof);
    if (d[1 - c] != 0.)
      constraints.add_entry(dof, other, -d[1 - c] / d[c]);
  };
  const auto fix_across = [&](int node)
  {
    const auto dof = static_cast<dealii::types::global_dof_index>(dim * node + 2);
    if (dim == 3 && !constraints.is_constrained(dof))
      constraints.add_line(dof);
  };
  const auto along = [&](double station)
  {
    const double lean = shape().lean(station);
    return Eigen::Vector2d(std::sin(lean), std::cos(lean));
  };

  for (const SectionSupport &support : supports.sections)
  {
    const auto section = section_shares(support.station);
    const Eigen::Vector2d t = along(support.station), n(t.y(), -t.x());
    for (const auto &[node, share] : section)
    {
      if (support.normal)
        fix(node, t);
      if (support.transverse)
        fix(node, n);
    }
    if (support.across)
      for (const auto &[node, share] : section)
        fix_across(node);
    if (!support.mean_transverse)
      continue;
    // Sums over the nodes of weight * displacement that must vanish, by dof that is still free.
    std::vector<std::map<dealii::types::global_dof_index, double>> sums;
    const auto add_transverse = [&](const auto &weight_of)
    {
      auto &sum = sums.emplace_back();
      for (const auto &[node, w] : section)
      {
        const int c = std::abs(t[0]) > std::abs(t[1]) ? 0 : 1; // eliminated by the normal support, if there is one
        for (int i = 0; i < 2; ++i)
        {
          if (support.normal && i == c)
            continue;
          const double share = support.normal ? n[i] - n[c] * t[i] / t[c] : n[i];
          if (const double entry = w * weight_of(node) * share; entry != 0.)
            sum[dim * node + i] += entry;
        }
      }
    };
    add_transverse([](int) { return 1.; });
    if (dim == 3 && !half_width())
    {
      add_transverse([&](int node) { return node_list[node].place[2]; });
      auto &sum = sums.emplace_back();
      for (const auto &[node, w] : section)
        sum[dim * node + 2] += w;
    }
    // Each is solved for one dof, which is then taken out of the others.
    std::vector<dealii::types::global_dof_index> pivots;
    for (std::size_t row = 0; row < sums.size(); ++row)
    {
      auto &sum = sums[row];
      const auto most = std::max_element(sum.begin(), sum.end(),
                                         [](const auto &a, const auto &b) { return std::abs(a.second) < std::abs(b.second); });
      // The first of those as large: rounding must not choose among equals, for limbs that differ little keep the same unknowns.
      const auto pivot = std::find_if(sum.begin(), sum.end(),
                                      [&](const auto &one) { return std::abs(one.second) >= 0.99 * std::abs(most->second); });
      pivots.push_back(pivot->first);
      for (std::size_t other = 0; other < sums.size(); ++other)
        if (const auto found = sums[other].find(pivots.back()); other != row && found != sums[other].end())
        {
          const double factor = found->second / sum.at(pivots.back());
          for (const auto &[dof, entry] : sum)
            sums[other][dof] -= factor * entry;
          sums[other].erase(pivots.back());
        }
    }
    for (std::size_t row = 0; row < sums.size(); ++row)
    {
      constraints.add_line(pivots[row]);
      for (const auto &[dof, share] : sums[row])
        if (dof != pivots[row] && share != 0.)
          constraints.add_entry(pivots[row], dof, -share / sums[row].at(pivots[row]));
    }
  }
  for (const NodeSupport &support : supports.nodes)
  {
    const auto distance = [&](const Node &node)
    { return std::hypot(node.station - support.station, node.depth - support.depth, node.place[2]); };
    const auto nearest = std::min_element(node_list.begin(), node_list.end(),
                                          [&](const Node &a, const Node &b) { return distance(a) < distance(b); });
    const int node = static_cast<int>(nearest - node_list.begin());
    const Eigen::Vector2d t = along(nearest->station);
    if (support.along)
      fix(node, t);
    if (support.transverse)
      fix(node, Eigen::Vector2d(t.y(), -t.x()));
    if (support.across)
      fix_across(node);
  }
  if constexpr (dim == 3)
    for (std::size_t node = 0; node < node_list.size(); ++node)
      if (supports.plane_strain || (half_width() && node_list[node].across == 0.))
        fix_across(static_cast<int>(node));
  constraints.close();
  reduced = std::make_unique<ReducedSpace>(constraints, dim * static_cast<int>(node_list.size()));

  const auto announce = [&](const std::vector<int> &element_nodes, auto &maps, auto &blocks)
  {
    std::vector<int> dofs;
    for (const int node : element_nodes)
      for (int c = 0; c < dim; ++c)
        dofs.push_back(dim * node + c);
    maps.push_back(reduced->element(dofs));
    blocks.push_back(tangent_matrix.announce(maps.back().masters));
  };
  const auto leave_out = [](auto &maps, auto &blocks)
  {
    maps.emplace_back();
    blocks.push_back(-1);
  };
  for (const Cell &cell : cell_list)
    if (owns(cell.column))
      announce({cell.nodes.begin(), cell.nodes.end()}, cell_maps, cell_blocks);
    else
      leave_out(cell_maps, cell_blocks);
  for (const GlueElement &element : glue_list)
  {
    if (!owns(element.column))
    {
      leave_out(glue_maps, glue_blocks);
      continue;
    }
    std::vector<int> nodes(element.belly_nodes.begin(), element.belly_nodes.end());
    nodes.insert(nodes.end(), element.back_nodes.begin(), element.back_nodes.end());
    announce(nodes, glue_maps, glue_blocks);
  }
  for (const Band &band : band_list)
    if (owns(band.column))
      announce({band.belly_node, band.back_node}, band_maps, band_blocks);
    else
      leave_out(band_maps, band_blocks);
}

template std::map<int, double> LayeredSolid<2>::section_shares(double) const;
template std::map<int, double> LayeredSolid<3>::section_shares(double) const;
template void LayeredSolid<2>::make_supports(const Supports &);
template void LayeredSolid<3>::make_supports(const Supports &);
} // namespace limbwright
