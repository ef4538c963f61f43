#include "solver/failure/recovery.h"

#include "solver/failure/gathered_strain.h"

#include <algorithm>
#include <cmath>

namespace limbwright
{
template <int dim>
NodalFieldsOf<dim> recover_nodal_fields(const LayeredSolid<dim> &solid, const Eigen::VectorXd &u, const Crushed &crushed_before)
{
  using Strain = typename LayeredSolid<dim>::Strain;
  constexpr int n_points = 1 << dim;
  const std::size_t n_nodes = solid.nodes().size();
  NodalFieldsOf<dim> fields;
  fields.strain.assign(n_nodes, Strain::Zero());
  fields.stress.assign(n_nodes, Strain::Zero());
  fields.crushed.at_node.assign(n_nodes, 0.);
  std::vector<int> count(n_nodes, 0);
  for (const auto &cell : solid.cells())
  {
    const auto gauss = solid.gauss_strains(cell, u); // first coordinate, from belly to back, fastest
    for (int k = 0; k < LayeredSolid<dim>::n_nodes_per_cell; ++k)
    {
      // A node at local coordinate 1 lies at sqrt(3) of the Gauss points' square.
      const double at[3] = {std::sqrt(3.) * (k % 3 - 1), std::sqrt(3.) * (k / 3 % 3 - 1), std::sqrt(3.) * (k / 9 - 1)};
      for (int p = 0; p < n_points; ++p)
      {
        double weight = 1.;
        for (int d = 0; d < dim; ++d)
          weight *= 0.5 * (1. + ((p >> d & 1) != 0 ? at[d] : -at[d]));
        fields.strain[cell.nodes[k]] += weight * gauss[static_cast<std::size_t>(p)];
      }
      ++count[cell.nodes[k]];
    }
  }
  const auto follow_law = [&](int node)
  {
    const auto n = static_cast<std::size_t>(node);
    const int lamination = solid.nodes()[n].lamination;
    double &crushed = fields.crushed.at_node[n];
    crushed = crushed_before.at_node.empty() ? 0. : crushed_before.at_node[n];
    if (const auto *weak = solid.weak_parts_at(node))
    {
      fields.stress[n].setZero();
      const auto before = crushed_before.of_strip.find(node);
      std::vector<double> &strips = fields.crushed.of_strip[node];
      strips = before == crushed_before.of_strip.end() ? std::vector<double>(weak->size(), 0.) : before->second;
      for (std::size_t i = 0; i < weak->size(); ++i)
      {
        const WeakPartOf<dim> &part = (*weak)[i];
        const auto step = own_stress<dim>(part, part.to_own * fields.strain[n], strips[i]);
        fields.stress[n] += part.strip.share * (part.to_own.transpose() * step.stress);
        strips[i] = step.plastic_strain;
        crushed = std::max(crushed, step.plastic_strain);
      }
    }
    else if (const auto &law = solid.crushing_law(lamination))
    {
      const auto step = crush(*law, solid.stiffness(lamination), fields.strain[n], crushed);
      fields.stress[n] = step.stress;
      crushed = step.plastic_strain;
    }
    else
      fields.stress[n] = solid.stiffness(lamination) * fields.strain[n];
  };
  for (std::size_t node = 0; node < n_nodes; ++node)
  {
    fields.strain[node] /= count[node];
    follow_law(static_cast<int>(node));
  }
  if constexpr (dim == 2)
    for (const int node : spread_gathered_strain(solid, fields))
      follow_law(node);
  return fields;
}

template <int dim>
std::vector<SectionFit> fit_sections(const LayeredSolid<dim> &solid, const NodalFieldsOf<dim> &fields)
{
  const auto without_prestrain = [&](int index)
  {
    const auto &node = solid.nodes()[index];
    return fields.strain[index][0] -
           solid.shape().prestrain(static_cast<std::size_t>(node.lamination), node.station, node.depth + node.slanted);
  };
  const auto depth_of = [&](int index) { return solid.nodes()[index].depth + solid.nodes()[index].fallen; };
  const bool whole_width = dim == 3 && !solid.half_width();
  std::vector<SectionFit> fits;
  for (const double station : solid.column_stations())
  {
    double depth = 0., strain = 0., depth2 = 0., product = 0., z2 = 0., z_product = 0.;
    const auto shares = solid.section_shares(station);
    for (const auto &[node, share] : shares)
    {
      depth += share * depth_of(node);
      strain += share * without_prestrain(node);
    }
    for (const auto &[node, share] : shares)
    {
      const double d = depth_of(node) - depth, z = solid.nodes()[node].place[2];
      depth2 += share * d * d;
      product += share * d * without_prestrain(node);
      z2 += share * z * z;
      z_product += share * z * without_prestrain(node);
    }
    const double slope = product / depth2;
    fits.push_back({station, strain - slope * depth, slope, whole_width ? z_product / z2 : 0.});
  }
  return fits;
}

template NodalFieldsOf<2> recover_nodal_fields(const LayeredSolid<2> &, const Eigen::VectorXd &, const Crushed &);
template std::vector<SectionFit> fit_sections(const LayeredSolid<2> &, const NodalFieldsOf<2> &);
template NodalFieldsOf<3> recover_nodal_fields(const LayeredSolid<3> &, const Eigen::VectorXd &, const Crushed &);
template std::vector<SectionFit> fit_sections(const LayeredSolid<3> &, const NodalFieldsOf<3> &);
} // namespace limbwright
