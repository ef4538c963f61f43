// What LayeredSolid takes from the mesh: nodes, cells and quadrature points.
#include "meshing/mesh/limb_mesh.h"
#include "solver/model/layered_solid.h"

#include <deal.II/base/quadrature_lib.h>
#include <deal.II/dofs/dof_handler.h>
#include <deal.II/fe/fe_q.h>
#include <deal.II/fe/fe_values.h>

#include <algorithm>
#include <cmath>
#include <numeric>
#include <tuple>

namespace limbwright
{
// Nodes are numbered along the limb, so that unknowns that touch stay close together.
template <int dim>
void LayeredSolid<dim>::make_nodes_and_points()
{
  const dealii::FE_Q<dim> fe(2);
  dealii::DoFHandler<dim> dof_handler(limb_mesh.triangulation());
  dof_handler.distribute_dofs(fe);
  const int n_nodes = static_cast<int>(dof_handler.n_dofs());
  std::vector<Node> raw(n_nodes);
  std::vector<dealii::types::global_dof_index> dofs(fe.n_dofs_per_cell());
  // Local nodes in lexicographic order: first from belly to back, then from root to tip, then across.
  const auto lexicographic = fe.get_poly_space_numbering_inverse();
  const auto &unit_points = fe.get_unit_support_points();
  for (const auto &cell : dof_handler.active_cell_iterators())
  {
    const unsigned int index = cell->active_cell_index();
    const auto &place = limb_mesh.places()[index];
    Cell entry{place.lamination, place.column, place.row, {}, place.strip};
    cell->get_dof_indices(dofs);
    for (int k = 0; k < n_nodes_per_cell; ++k)
    {
      const unsigned int i = lexicographic[k];
      entry.nodes[k] = static_cast<int>(dofs[i]);
      const auto [station, depth] = limb_mesh.station_depth(index, unit_points[i][0], unit_points[i][1]);
      const auto reference = limb_mesh.mapping().transform_unit_to_real_cell(cell, unit_points[i]);
      Node &node = raw[dofs[i]];
      node.place = {};
      for (int c = 0; c < dim; ++c)
        node.place[c] = reference[c];
      node.across = dim == 3 ? limb_mesh.across(index, unit_points[i][dim - 1]) : 0.;
      node.fallen = node.slanted = 0.;
      if constexpr (dim == 3)
      {
        const auto lamination = static_cast<std::size_t>(place.lamination);
        node.fallen = limb_mesh.shape().in_section(lamination, station, depth, node.across).depth - depth;
        node.slanted = limb_mesh.shape().slanted_depth(lamination, station, depth, node.across) - depth;
      }
      node.station = station;
      node.depth = depth;
      node.lamination = place.lamination;
    }
    cell_list.push_back(entry);
  }

  std::vector<int> order(n_nodes), number(n_nodes);
  std::iota(order.begin(), order.end(), 0);
  std::sort(order.begin(), order.end(),
            [&](int a, int b) {
              return std::tie(raw[a].station, raw[b].depth, raw[a].across, a) <
                     std::tie(raw[b].station, raw[a].depth, raw[b].across, b);
            });
  node_list.reserve(n_nodes);
  for (int k = 0; k < n_nodes; ++k)
  {
    number[order[k]] = k;
    node_list.push_back(raw[order[k]]);
  }
  for (Cell &cell : cell_list)
    for (int &node : cell.nodes)
      node = number[node];

  const dealii::QGauss<dim> full_rule(3), sample_rule(2);
  const auto flags = dealii::update_gradients | dealii::update_JxW_values | dealii::update_quadrature_points;
  dealii::FEValues<dim> full(limb_mesh.mapping(), fe, full_rule, flags), sample(limb_mesh.mapping(), fe, sample_rule, flags);
  // What a unit of the mesh's measure stands for: the width in the side view, both halves where one is meshed.
  const auto thickness_across = [&](double station, double depth) {
    return dim == 2 ? limb_mesh.shape().width(station, depth) : limb_mesh.half_width() ? 2. : 1.;
  };
  const auto points_of = [&](dealii::FEValues<dim> &values, const auto &cell)
  {
    values.reinit(cell);
    const unsigned int index = cell->active_cell_index();
    const LimbShape &shape = limb_mesh.shape();
    const auto &rule = values.get_quadrature();
    std::vector<Point> result(rule.size());
    for (unsigned int q = 0; q < rule.size(); ++q)
    {
      Point &point = result[q];
      auto [station, depth] = limb_mesh.station_depth(index, rule.point(q)[0], rule.point(q)[1]);
      if constexpr (dim == 3)
        depth = shape.slanted_depth(static_cast<std::size_t>(limb_mesh.places()[index].lamination), station, depth,
                                    limb_mesh.across(index, rule.point(q)[2]));
      const double lean = shape.grain_lean(limb_mesh.places()[index].lamination, station);
      point.axes.setZero(); // columns L and N, of a solid W across the width
      point.axes.template topLeftCorner<2, 2>() << std::sin(lean), std::cos(lean), std::cos(lean), -std::sin(lean);
      if constexpr (dim == 3)
        point.axes(2, 2) = 1.;
      for (int k = 0; k < n_nodes_per_cell; ++k)
      {
        const auto gradient = values.shape_grad(lexicographic[k], q);
        for (int d = 0; d < dim; ++d)
          point.gradient(k, d) = gradient[d];
      }
      point.gradient *= point.axes;
      point.volume = values.JxW(q) * thickness_across(station, depth);
      point.station = station;
      point.depth = depth;
      if constexpr (dim == 3)
        point.across = values.quadrature_point(q)[2];
      point.prestrain[0] = shape.prestrain(limb_mesh.places()[index].lamination, station, depth);
      any_prestrain = any_prestrain || point.prestrain[0] != 0.;
    }
    return result;
  };
  for (const auto &cell : dof_handler.active_cell_iterators())
  {
    sample_points.push_back(points_of(sample, cell));
    points.emplace_back();
    const unsigned int index = cell->active_cell_index();
    if (!owns(limb_mesh.places()[index].column))
      continue;
    points.back() = points_of(full, cell);
    const LimbShape &shape = limb_mesh.shape();
    const auto own = static_cast<std::size_t>(limb_mesh.places()[index].lamination);
    for (unsigned int q = 0; q < full_rule.size(); ++q)
    {
      Point &point = points.back()[q];
      const auto [station, depth] = limb_mesh.station_depth(index, full_rule.point(q)[0], full_rule.point(q)[1]);
      point.first_part = parts.size();
      const auto add = [&](std::size_t lamination, double share)
      {
        parts.push_back({static_cast<int>(lamination), share,
                         shape.description().laminations[lamination].shrinkage - shape.description().laminations[own].shrinkage});
      };
      if constexpr (dim == 2)
        for (const auto &[lamination, share] : shape.across(own, station, depth))
          add(lamination, share);
      else
      {
        // Rows that fall with the crown hold one lamination each; flat ones run through several.
        const double of_chord = limb_mesh.across(index, full_rule.point(q)[2]);
        add(shape.back_falls()
                ? own
                : shape.lamination_at(own, station, depth, of_chord * shape.width(station, depth) / shape.width(station)),
            1.);
      }
      point.last_part = parts.size();
    }
  }
}

template void LayeredSolid<2>::make_nodes_and_points();
template void LayeredSolid<3>::make_nodes_and_points();
} // namespace limbwright
