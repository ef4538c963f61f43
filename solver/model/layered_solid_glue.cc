// The glue lines and the supports of LayeredSolid.
#include "solver/model/glue_law.h"
#include "solver/model/layered_solid.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace limbwright
{
namespace
{
// Derivatives of the quadratic shape functions of a line at its three nodes.
constexpr double derivative[3][3] = {{-3., 4., -1.}, {-1., 0., 1.}, {1., -4., 3.}};

// w of GlueSeparation at node k is T_k times the element's twelve unknowns: belly nodes root to tip, then back nodes.
Eigen::Matrix<double, 4, 12> separation_operator(int k)
{
  Eigen::Matrix<double, 4, 12> T = Eigen::Matrix<double, 4, 12>::Zero();
  for (int i = 0; i < 2; ++i)
  {
    T(i, 6 + 2 * k + i) = 1.;
    T(i, 2 * k + i) = -1.;
    for (int l = 0; l < 3; ++l)
      T(2 + i, 2 * l + i) = T(2 + i, 6 + 2 * l + i) = 0.5 * derivative[k][l];
  }
  return T;
}

const std::array<Eigen::Matrix<double, 4, 12>, 3> separation_operators = {separation_operator(0), separation_operator(1),
                                                                          separation_operator(2)};

template <typename Solid>
Eigen::Matrix<double, 12, 1> element_values(const typename Solid::GlueElement &element, const auto &value_of_node)
{
  Eigen::Matrix<double, 12, 1> values;
  for (int k = 0; k < 3; ++k)
  {
    values.segment<2>(2 * k) = value_of_node(element.belly_nodes[k]);
    values.segment<2>(6 + 2 * k) = value_of_node(element.back_nodes[k]);
  }
  return values;
}
} // namespace

template <int dim>
void LayeredSolid<dim>::assemble_glue(std::size_t index, const Eigen::VectorXd &u, const Eigen::VectorXd &du,
                                      Eigen::VectorXd &sum)
{
  using Vector12 = Eigen::Matrix<double, 12, 1>;
  const GlueElement &element = glue_list[index];
  const Vector12 place = element_values<LayeredSolid>(element, [&](int node) -> Eigen::Vector2d {
    return Eigen::Vector2d(node_list[node].place[0], node_list[node].place[1]) + u.segment<2>(2 * node);
  });
  const Vector12 step = element_values<LayeredSolid>(element, [&](int node) -> Eigen::Vector2d { return du.segment<2>(2 * node); });
  Vector12 force = Vector12::Zero();
  Eigen::Matrix<double, 12, 12> K = Eigen::Matrix<double, 12, 12>::Zero();
  for (int k = 0; k < 3; ++k)
  {
    const auto &T = separation_operators[k];
    const Eigen::Vector4d w = T * place, dw = T * step;
    const GlueSeparation now(w);
    const double normal = element.weight[k] * element.normal_stiffness[k], shear = element.weight[k] * element.shear_stiffness[k];
    const double peel_force = normal * (now.normal - element.reference_normal[k]);
    const double shear_force = shear * (now.slip - element.reference_slip[k]);
    // Mixed-point Newton, as in the cells: tractions of the geometric part from the step linearised at its start.
    const GlueSeparation before(w - dw);
    const double peel_mixed = normal * (before.normal + before.normal_gradient.dot(dw) - element.reference_normal[k]);
    const double shear_mixed = shear * (before.slip + before.slip_gradient.dot(dw) - element.reference_slip[k]);
    const Eigen::Vector4d gradient = peel_force * now.normal_gradient + shear_force * now.slip_gradient;
    const Eigen::Matrix4d hessian = normal * now.normal_gradient * now.normal_gradient.transpose() +
                                    shear * now.slip_gradient * now.slip_gradient.transpose() +
                                    peel_mixed * now.normal_hessian + shear_mixed * now.slip_hessian;
    force += T.transpose() * gradient;
    K += T.transpose() * hessian * T;
  }
  scatter(glue_maps[index], glue_blocks[index], K, force, sum);
}

template <int dim>
std::array<typename LayeredSolid<dim>::GlueTraction, 3> LayeredSolid<dim>::tractions(const GlueElement &element,
                                                                                     const Eigen::VectorXd &u) const
{
  const Eigen::Matrix<double, 12, 1> place = element_values<LayeredSolid>(element, [&](int node) -> Eigen::Vector2d {
    return Eigen::Vector2d(node_list[node].place[0], node_list[node].place[1]) + u.segment<2>(2 * node);
  });
  std::array<GlueTraction, 3> result;
  for (int k = 0; k < 3; ++k)
  {
    const GlueSeparation now(separation_operators[k] * place, false);
    result[k].peel = element.normal_stiffness[k] * (now.normal - element.reference_normal[k]);
    result[k].shear = element.shear_stiffness[k] * (now.slip - element.reference_slip[k]);
  }
  return result;
}

template <int dim>
std::vector<int> LayeredSolid<dim>::nodes_at(double station) const
{
  const double tolerance = 1e-9 * (1. + std::abs(station));
  std::vector<int> result;
  for (int node = 0; node < static_cast<int>(node_list.size()); ++node)
    if (std::abs(node_list[node].station - station) < tolerance)
      result.push_back(node);
  if (result.empty())
    throw std::logic_error("no mesh line lies at the station of a support or load");
  return result;
}

template <int dim>
void LayeredSolid<dim>::make_supports(const Supports &supports)
{
  dealii::AffineConstraints<double> constraints;
  // Fixes a node's displacement along unit direction d by eliminating the component in which d is larger.
  const auto fix = [&](int node, const Eigen::Vector2d &d) {
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
  const auto along = [&](double station) {
    const double lean = limb_mesh.shape().lean(station);
    return Eigen::Vector2d(std::sin(lean), std::cos(lean));
  };

  for (const SectionSupport &support : supports.sections)
  {
    const std::vector<int> section = nodes_at(support.station);
    const Eigen::Vector2d t = along(support.station), n(t.y(), -t.x());
    for (const int node : section)
    {
      if (support.normal)
        fix(node, t);
      if (support.transverse)
        fix(node, n);
    }
    if (support.mean_transverse)
    {
      // Sum over nodes of weight * (n . u) = 0, solved for the last node's larger component of n that is still free.
      std::map<int, double> weight; // by node: length of section it stands for, times width
      for (const Cell &cell : cell_list)
        for (const int row : {0, 6})
          if (std::abs(node_list[cell.nodes[row]].station - support.station) < 1e-9 * (1. + std::abs(support.station)) &&
              (row == 0 || std::abs(support.station - limb_mesh.column_stations().back()) < 1e-12))
          {
            const double height = std::abs(node_list[cell.nodes[row]].depth - node_list[cell.nodes[row + 2]].depth);
            for (int i = 0; i < 3; ++i)
              weight[cell.nodes[row + i]] += (i == 1 ? 4. : 1.) / 6. * height *
                                             limb_mesh.shape().width(support.station, node_list[cell.nodes[row + i]].depth);
          }
      std::map<dealii::types::global_dof_index, double> sum; // by dof still free
      for (const auto &[node, w] : weight)
      {
        const int c = std::abs(t[0]) > std::abs(t[1]) ? 0 : 1; // eliminated by the normal support, if there is one
        for (int i = 0; i < dim; ++i)
        {
          if (support.normal && i == c)
            continue;
          const double share = support.normal ? n[i] - n[c] * t[i] / t[c] : n[i];
          if (share != 0.)
            sum[dim * node + i] += w * share;
        }
      }
      const auto pivot = std::max_element(sum.begin(), sum.end(),
                                          [](const auto &a, const auto &b) { return std::abs(a.second) < std::abs(b.second); });
      constraints.add_line(pivot->first);
      for (const auto &[dof, share] : sum)
        if (dof != pivot->first)
          constraints.add_entry(pivot->first, dof, -share / pivot->second);
    }
  }
  for (const NodeSupport &support : supports.nodes)
  {
    const auto distance = [&](const Node &node) {
      return std::hypot(node.station - support.station, node.depth - support.depth);
    };
    const auto nearest = std::min_element(node_list.begin(), node_list.end(),
                                          [&](const Node &a, const Node &b) { return distance(a) < distance(b); });
    const int node = static_cast<int>(nearest - node_list.begin());
    const Eigen::Vector2d t = along(nearest->station);
    if (support.along)
      fix(node, t);
    if (support.transverse)
      fix(node, Eigen::Vector2d(t.y(), -t.x()));
  }
  constraints.close();
  reduced = std::make_unique<ReducedSpace>(constraints, dim * static_cast<int>(node_list.size()));

  const auto announce = [&](const std::vector<int> &element_nodes, auto &maps, auto &blocks) {
    std::vector<int> dofs;
    for (const int node : element_nodes)
      for (int c = 0; c < dim; ++c)
        dofs.push_back(dim * node + c);
    maps.push_back(reduced->element(dofs));
    blocks.push_back(tangent_matrix.announce(maps.back().masters));
  };
  for (const Cell &cell : cell_list)
    announce({cell.nodes.begin(), cell.nodes.end()}, cell_maps, cell_blocks);
  for (const GlueElement &element : glue_list)
  {
    std::vector<int> nodes(element.belly_nodes.begin(), element.belly_nodes.end());
    nodes.insert(nodes.end(), element.back_nodes.begin(), element.back_nodes.end());
    announce(nodes, glue_maps, glue_blocks);
  }
}

template void LayeredSolid<2>::assemble_glue(std::size_t, const Eigen::VectorXd &, const Eigen::VectorXd &, Eigen::VectorXd &);
template std::array<LayeredSolid<2>::GlueTraction, 3> LayeredSolid<2>::tractions(const GlueElement &, const Eigen::VectorXd &) const;
template std::vector<int> LayeredSolid<2>::nodes_at(double) const;
template void LayeredSolid<2>::make_supports(const Supports &);
} // namespace limbwright
