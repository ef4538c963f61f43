// The wraps of LayeredSolid.
#include "meshing/mesh/limb_mesh.h"
#include "solver/model/layered_solid.h"
#include "solver/model/quadratic_line.h"

#include <map>

namespace limbwright
{
// A turn slides on the limb, so its tension is one and the same all round: if the faces move apart by d, two legs grow, and the
// strain is 2 d over the girth. Each face is pulled by both legs.
template <int dim>
void LayeredSolid<dim>::make_bands()
{
  const LimbDescription &limb = shape().description();
  if (limb.wraps.empty())
    return;
  std::map<std::pair<int, int>, std::pair<const Cell *, const Cell *>> columns; // column, strip: innermost and outermost cell
  int last_strip = 0;
  for (const Cell &cell : cell_list)
  {
    last_strip = std::max(last_strip, cell.strip);
    const auto [entry, is_new] = columns.try_emplace({cell.column, cell.strip}, &cell, &cell);
    if (!is_new)
      entry->second.second = &cell; // belly to back in a strip
  }
  const auto &stations = limb_mesh.column_stations();
  for (std::size_t w = 0; w < limb.wraps.size(); ++w)
  {
    const Wrap &wrap = limb.wraps[w];
    if (!(wrap.modulus > 0.))
      continue;
    for (const auto &[where, cells] : columns)
    {
      const auto [column, strip] = where;
      const double from = stations[static_cast<std::size_t>(column)], to = stations[static_cast<std::size_t>(column) + 1];
      const double middle = 0.5 * (from + to);
      if (middle < wrap.from || middle > wrap.to)
        continue;
      for (const int k : {0, 2}) // across the width
      {
        if (dim == 2 ? k != 0 : k == 2 ? strip != last_strip : strip != 0 || half_width())
          continue;
        for (int j = 0; j < 3; ++j)
        {
          Band band;
          band.column = column;
          band.wrap = static_cast<int>(w);
          band.belly_node = cells.first->nodes[3 * j + (dim == 2 ? 0 : 9 * k)];
          band.back_node = cells.second->nodes[2 + 3 * j + (dim == 2 ? 0 : 9 * k)];
          const Node &belly = node_list[band.belly_node];
          // Both legs in the side view and in a half solid, which counts twice; one at each edge of a whole one.
          const double legs = (dim == 2 || half_width() ? 2. : 1.) * quadratic_line::simpson[j] * (to - from);
          band.thread = legs * wrap.thickness;
          const double girth = 2. * (shape().width(belly.station) + shape().stack(belly.station));
          band.law.length = (Eigen::Map<const Eigen::Vector3d>(node_list[band.back_node].place.data()) -
                             Eigen::Map<const Eigen::Vector3d>(belly.place.data()))
                                .norm();
          band.law.stiffness = wrap.modulus * band.thread * 2. / girth;
          band.law.pull = wrap.tension * legs;
          band_list.push_back(band);
        }
      }
    }
  }
}

template <int dim>
Eigen::Matrix<double, dim, 1> LayeredSolid<dim>::span(const Band &band, const Eigen::VectorXd &u) const
{
  const auto place = [&](int node) -> Vector
  { return Eigen::Map<const Eigen::Vector3d>(node_list[node].place.data()).head<dim>() + u.segment<dim>(dim * node); };
  return place(band.back_node) - place(band.belly_node);
}

template <int dim>
double LayeredSolid<dim>::thread_stress(const Band &band, const Eigen::VectorXd &u) const
{
  return band.law.force(span(band, u).norm()) / band.thread;
}

template <int dim>
void LayeredSolid<dim>::assemble_band(std::size_t index, const Eigen::VectorXd &u, Eigen::VectorXd &sum)
{
  const Band &band = band_list[index];
  if (band_maps[index].masters.empty())
    return; // both of its ends are held
  const Vector across = span(band, u);
  const double length = across.norm();
  const Gradient A = band.law.template tangent<dim>(across, geometric_share);
  Eigen::Matrix<double, 2 * dim, 2 * dim> K;
  K << A, -A, -A, A;
  Eigen::Matrix<double, 2 * dim, 1> force; // of the belly's node, then the back's
  force.template tail<dim>() = band.law.force(length) / length * across;
  force.template head<dim>() = -force.template tail<dim>();
  scatter(band_maps[index], band_blocks[index], K, force, sum);
}

template void LayeredSolid<2>::make_bands();
template Eigen::Vector2d LayeredSolid<2>::span(const Band &, const Eigen::VectorXd &) const;
template double LayeredSolid<2>::thread_stress(const Band &, const Eigen::VectorXd &) const;
template void LayeredSolid<2>::assemble_band(std::size_t, const Eigen::VectorXd &, Eigen::VectorXd &);
template void LayeredSolid<3>::make_bands();
template Eigen::Vector3d LayeredSolid<3>::span(const Band &, const Eigen::VectorXd &) const;
template double LayeredSolid<3>::thread_stress(const Band &, const Eigen::VectorXd &) const;
template void LayeredSolid<3>::assemble_band(std::size_t, const Eigen::VectorXd &, Eigen::VectorXd &);
} // namespace limbwright
