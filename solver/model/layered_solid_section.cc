// Forces that the columns of a LayeredSolid exert on each other.
#include "solver/model/layered_solid.h"

#include "meshing/mesh/limb_mesh.h"

#include <Eigen/Geometry>

namespace limbwright
{
template <int dim>
std::vector<typename LayeredSolid<dim>::ColumnEnds> LayeredSolid<dim>::column_end_forces(const Eigen::VectorXd &u) const
{
  const std::size_t n_laminations = laminations.size();
  std::vector<ColumnEnds> columns(static_cast<std::size_t>(limb_mesh.n_columns()),
                                  {std::vector<EndForce>(n_laminations), std::vector<EndForce>(n_laminations)});
  const auto add = [&](std::vector<EndForce> &end, int node, const Vector &force)
  {
    Eigen::Vector3d f = Eigen::Vector3d::Zero(), position = Eigen::Map<const Eigen::Vector3d>(node_list[node].place.data());
    f.template head<dim>() = force;
    position.template head<dim>() += u.segment<dim>(dim * node);
    EndForce &sum = end[static_cast<std::size_t>(node_list[node].lamination)];
    sum.force += f;
    sum.moment += position.cross(f);
  };
  // along: 0 at the root end, 2 at the tip end; nodes between belong to neither.
  const auto add_along = [&](int column, int along, int node, const Vector &force)
  {
    if (along != 1)
      add(along == 0 ? columns[static_cast<std::size_t>(column)].root : columns[static_cast<std::size_t>(column)].tip, node,
          force);
  };
  for (std::size_t c = 0; c < cell_list.size(); ++c)
    if (const Cell &cell = cell_list[c]; owns(cell.column))
    {
      const CellValues force = cell_force(c, u);
      for (int k = 0; k < n_nodes_per_cell; ++k)
        add_along(cell.column, k / 3 % 3, cell.nodes[k], force.col(k));
    }
  for (const GlueElement &element : glue_list)
    if (owns(element.column))
    {
      const FaceValues force = glue_force(element, u);
      for (int k = 0; k < n_nodes_per_face; ++k)
      {
        add_along(element.column, k % 3, element.belly_nodes[k], force.template segment<dim>(dim * k));
        add_along(element.column, k % 3, element.back_nodes[k], force.template segment<dim>(dim * (n_nodes_per_face + k)));
      }
    }
  const auto &stations = column_stations();
  for (const Band &band : band_list)
    if (owns(band.column))
    {
      const Vector apart = span(band, u), force = band.law.force(apart.norm()) / apart.norm() * apart;
      const double station = node_list[band.belly_node].station;
      const auto column = static_cast<std::size_t>(band.column);
      const int along = station == stations[column] ? 0 : station == stations[column + 1] ? 2 : 1;
      add_along(band.column, along, band.back_node, force);
      add_along(band.column, along, band.belly_node, -force);
    }
  if (ranks.n_ranks() == 1)
    return columns;
  Eigen::VectorXd all(static_cast<Eigen::Index>(12 * n_laminations * columns.size()));
  const auto for_each_vector = [&](const auto &f)
  {
    Eigen::Index at = 0;
    for (ColumnEnds &column : columns)
      for (std::vector<EndForce> *end : {&column.root, &column.tip})
        for (EndForce &sum : *end)
          for (Eigen::Vector3d *vector : {&sum.force, &sum.moment})
          {
            f(all.segment<3>(at), *vector);
            at += 3;
          }
  };
  for_each_vector([](auto part, Eigen::Vector3d &vector) { part = vector; });
  ranks.sum(all);
  for_each_vector([](auto part, Eigen::Vector3d &vector) { vector = part; });
  return columns;
}

template std::vector<LayeredSolid<2>::ColumnEnds> LayeredSolid<2>::column_end_forces(const Eigen::VectorXd &) const;
template std::vector<LayeredSolid<3>::ColumnEnds> LayeredSolid<3>::column_end_forces(const Eigen::VectorXd &) const;
} // namespace limbwright
