#include "solver/model/layered_solid.h"

#include <deal.II/base/quadrature_lib.h>
#include <deal.II/fe/fe_values.h>

#include <algorithm>
#include <cmath>
#include <numeric>

namespace limbwright
{
template <int dim>
LayeredSolid<dim>::LayeredSolid(const LimbMesh<dim> &mesh, const std::map<std::string, Material> &materials,
                                const std::map<std::string, Adhesive> &adhesives, PlaneState plane, const Supports &supports)
    : limb_mesh(mesh),
      fe(2),
      dof_handler(mesh.triangulation())
{
  for (const LaminationDescription &lamination : mesh.shape().description().laminations)
    laminations.push_back(plane_stiffness(materials.at(lamination.material).constants, lamination.ring, plane));
  dof_handler.distribute_dofs(fe);
  number_nodes();
  make_points();
  make_glue(adhesives);
  make_supports(supports);
}

// Nodes are numbered along the limb, so that unknowns that touch stay close together.
template <int dim>
void LayeredSolid<dim>::number_nodes()
{
  const int n_nodes = static_cast<int>(dof_handler.n_dofs());
  std::vector<Node> raw(n_nodes);
  std::vector<dealii::types::global_dof_index> dofs(fe.n_dofs_per_cell());
  // Local nodes in lexicographic order: first from belly to back, then from root to tip.
  const auto lexicographic = fe.get_poly_space_numbering_inverse();
  const auto &unit_points = fe.get_unit_support_points();
  for (const auto &cell : dof_handler.active_cell_iterators())
  {
    const unsigned int index = cell->active_cell_index();
    const auto &place = limb_mesh.places()[index];
    Cell entry{place.lamination, place.column, place.row, {}};
    cell->get_dof_indices(dofs);
    for (int k = 0; k < n_nodes_per_cell; ++k)
    {
      const unsigned int i = lexicographic[k];
      entry.nodes[k] = static_cast<int>(dofs[i]);
      const auto [station, depth] = limb_mesh.station_depth(index, unit_points[i][0], unit_points[i][1]);
      const auto reference = limb_mesh.mapping().transform_unit_to_real_cell(cell, unit_points[i]);
      Node &node = raw[dofs[i]];
      for (int c = 0; c < dim; ++c)
        node.place[c] = reference[c];
      node.station = station;
      node.depth = depth;
      node.lamination = place.lamination;
    }
    cell_list.push_back(entry);
  }

  std::vector<int> order(n_nodes), number(n_nodes);
  std::iota(order.begin(), order.end(), 0);
  std::sort(order.begin(), order.end(), [&](int a, int b) {
    return std::tie(raw[a].station, raw[b].depth, a) < std::tie(raw[b].station, raw[a].depth, b);
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
}

template <int dim>
std::vector<typename LayeredSolid<dim>::Point>
LayeredSolid<dim>::points_of_rule(const typename dealii::DoFHandler<dim>::active_cell_iterator &cell,
                                  const dealii::Quadrature<dim> &rule) const
{
  static_assert(dim == 2, "the side view; the solid limb needs a third grain axis");
  const auto lexicographic = fe.get_poly_space_numbering_inverse();
  dealii::FEValues<dim> values(limb_mesh.mapping(), fe, rule, dealii::update_gradients | dealii::update_JxW_values);
  values.reinit(cell);
  const unsigned int index = cell->active_cell_index();
  const int lamination = limb_mesh.places()[index].lamination;
  std::vector<Point> result(rule.size());
  for (unsigned int q = 0; q < rule.size(); ++q)
  {
    Point &point = result[q];
    const auto [station, depth] = limb_mesh.station_depth(index, rule.point(q)[0], rule.point(q)[1]);
    const double lean = limb_mesh.shape().grain_lean(lamination, station);
    point.axes << std::sin(lean), std::cos(lean), std::cos(lean), -std::sin(lean); // columns (L | N)
    for (int k = 0; k < n_nodes_per_cell; ++k)
    {
      const auto gradient = values.shape_grad(lexicographic[k], q);
      for (int i = 0; i < dim; ++i)
      {
        point.gradient(k, i) = 0.;
        for (int c = 0; c < dim; ++c)
          point.gradient(k, i) += point.axes(c, i) * gradient[c];
      }
    }
    point.volume = values.JxW(q) * limb_mesh.shape().width(station, depth);
  }
  return result;
}

template <int dim>
void LayeredSolid<dim>::make_points()
{
  const dealii::QGauss<dim> full(3), sample(2);
  for (const auto &cell : dof_handler.active_cell_iterators())
  {
    points.push_back(points_of_rule(cell, full));
    sample_points.push_back(points_of_rule(cell, sample));
  }
}

template <int dim>
void LayeredSolid<dim>::make_glue(const std::map<std::string, Adhesive> &adhesives)
{
  using Eigen::Vector2d;
  for (const auto &face : limb_mesh.glue_faces())
  {
    GlueElement element{};
    element.line = face.line;
    element.column = face.column;
    element.thickness = face.thickness;
    for (int k = 0; k < 3; ++k)
    {
      element.belly_nodes[k] = cell_list[face.belly_cell].nodes[2 + 3 * k];
      element.back_nodes[k] = cell_list[face.back_cell].nodes[3 * k];
    }
    const GlueLineDescription &line = limb_mesh.shape().description().glue[face.line];
    const auto place = [&](int node) { return Vector2d(node_list[node].place[0], node_list[node].place[1]); };
    // Derivatives of the quadratic shape functions at its three nodes, and Simpson's weights: integrating at the nodes keeps
    // the tractions of a stiff interface from oscillating (Schellekens and de Borst 1993).
    static constexpr double derivative[3][3] = {{-3., 4., -1.}, {-1., 0., 1.}, {1., -4., 3.}};
    static constexpr double simpson[3] = {1. / 6., 4. / 6., 1. / 6.};
    for (int k = 0; k < 3; ++k)
    {
      Vector2d tangent = Vector2d::Zero();
      for (int l = 0; l < 3; ++l)
        tangent += derivative[k][l] * 0.5 * (place(element.belly_nodes[l]) + place(element.back_nodes[l]));
      Eigen::Vector4d w;
      w << place(element.back_nodes[k]) - place(element.belly_nodes[k]), tangent;
      const GlueSeparation separation(w, false);
      element.reference_normal[k] = separation.normal;
      element.reference_slip[k] = separation.slip;
      const Node &belly = node_list[element.belly_nodes[k]];
      element.weight[k] = simpson[k] * tangent.norm() * limb_mesh.shape().width(belly.station, belly.depth);
      if (line.thickness > 0.)
      {
        const Adhesive &adhesive = adhesives.at(line.adhesive);
        element.normal_stiffness[k] = adhesive.youngs_modulus / element.thickness[k];
        element.shear_stiffness[k] = adhesive.shear_modulus / element.thickness[k];
      }
      else
        element.normal_stiffness[k] = element.shear_stiffness[k] = line.bond_stiffness;
    }
    glue_list.push_back(element);
  }
}

template <int dim>
typename LayeredSolid<dim>::CellValues LayeredSolid<dim>::cell_values(const Cell &cell, const Eigen::VectorXd &u)
{
  CellValues values;
  for (int k = 0; k < n_nodes_per_cell; ++k)
    values.col(k) = u.segment<dim>(dim * cell.nodes[k]);
  return values;
}

template <int dim>
typename LayeredSolid<dim>::Strain LayeredSolid<dim>::strain(const Point &point, const Gradient &h)
{
  const Gradient linear = point.axes.transpose() * h;
  const Gradient twice = linear + linear.transpose() + h.transpose() * h;
  return Strain(0.5 * twice(0, 0), 0.5 * twice(1, 1), twice(0, 1));
}

template <int dim>
void LayeredSolid<dim>::assemble(const Eigen::VectorXd &q, const Eigen::VectorXd &last_step, Eigen::VectorXd &internal_force)
{
  if (!tangent_matrix.closed())
    tangent_matrix.close(reduced->n_free());
  tangent_matrix.set_zero();
  internal_force = Eigen::VectorXd::Zero(reduced->n_free());
  const Eigen::VectorXd u = reduced->expand(q), du = reduced->expand(last_step);
  for (std::size_t c = 0; c < cell_list.size(); ++c)
    assemble_cell(c, u, du, internal_force);
  for (std::size_t g = 0; g < glue_list.size(); ++g)
    assemble_glue(g, u, du, internal_force);
}

template <int dim>
void LayeredSolid<dim>::scatter(const ReducedSpace::ElementMap &map, int block, const Eigen::MatrixXd &tangent,
                                const Eigen::VectorXd &force, Eigen::VectorXd &sum)
{
  if (map.transform.size() == 0)
  {
    tangent_matrix.add(block, tangent);
    for (std::size_t i = 0; i < map.masters.size(); ++i)
      sum[map.masters[i]] += force[i];
    return;
  }
  const Eigen::MatrixXd reduced_tangent = map.transform.transpose() * tangent * map.transform;
  const Eigen::VectorXd reduced_force = map.transform.transpose() * force;
  tangent_matrix.add(block, reduced_tangent);
  for (std::size_t i = 0; i < map.masters.size(); ++i)
    sum[map.masters[i]] += reduced_force[i];
}

template <int dim>
void LayeredSolid<dim>::assemble_cell(std::size_t c, const Eigen::VectorXd &u, const Eigen::VectorXd &du, Eigen::VectorXd &sum)
{
  constexpr int n_unknowns = dim * n_nodes_per_cell;
  constexpr int n_points = n_nodes_per_cell; // 3 per direction
  const Cell &cell = cell_list[c];
  const auto &D = laminations[cell.lamination];
  const CellValues displacement = cell_values(cell, u), step = cell_values(cell, du);

  // All points stacked, so that the cell's matrices are two products.
  Eigen::Matrix<double, n_points * n_strains, n_unknowns> B;
  Eigen::Matrix<double, n_points * n_strains, n_unknowns> DB;
  Eigen::Matrix<double, n_points * dim, n_nodes_per_cell> G, SG;
  Eigen::Matrix<double, n_points * n_strains, 1> stress;
  for (int p = 0; p < n_points; ++p)
  {
    const Point &point = points[c][p];
    const Gradient h = displacement * point.gradient, dh = step * point.gradient;
    const Gradient f = point.axes + h; // columns: deformed grain axes
    const Strain E = strain(point, h);
    const Strain S = point.volume * (D * E);
    // Strain of the last step, linearised at its start: E minus the step's quadratic part.
    const Gradient quadratic = dh.transpose() * dh;
    const Strain S_mixed =
        S - point.volume * (D * Strain(0.5 * quadratic(0, 0), 0.5 * quadratic(1, 1), quadratic(0, 1)));
    for (int a = 0; a < n_nodes_per_cell; ++a)
      for (int i = 0; i < dim; ++i)
      {
        B(n_strains * p + 0, dim * a + i) = f(i, 0) * point.gradient(a, 0);
        B(n_strains * p + 1, dim * a + i) = f(i, 1) * point.gradient(a, 1);
        B(n_strains * p + 2, dim * a + i) = f(i, 0) * point.gradient(a, 1) + f(i, 1) * point.gradient(a, 0);
      }
    DB.template middleRows<n_strains>(n_strains * p).noalias() =
        (point.volume * D) * B.template middleRows<n_strains>(n_strains * p);
    stress.template segment<n_strains>(n_strains * p) = S;
    Eigen::Matrix<double, dim, dim> S_matrix;
    S_matrix << S_mixed[0], S_mixed[2], S_mixed[2], S_mixed[1];
    G.template middleRows<dim>(dim * p) = point.gradient.transpose();
    SG.template middleRows<dim>(dim * p).noalias() = S_matrix * point.gradient.transpose();
  }
  Eigen::Matrix<double, n_unknowns, n_unknowns> K;
  K.noalias() = B.transpose() * DB;
  const Eigen::Matrix<double, n_nodes_per_cell, n_nodes_per_cell> geometric = G.transpose() * SG;
  for (int a = 0; a < n_nodes_per_cell; ++a)
    for (int b = 0; b < n_nodes_per_cell; ++b)
      for (int i = 0; i < dim; ++i)
        K(dim * a + i, dim * b + i) += geometric(a, b);
  const Eigen::Matrix<double, n_unknowns, 1> force = B.transpose() * stress;
  scatter(cell_maps[c], cell_blocks[c], K, force, sum);
}

template <int dim>
typename LayeredSolid<dim>::Energy LayeredSolid<dim>::energy(const Eigen::VectorXd &q) const
{
  const Eigen::VectorXd u = reduced->expand(q);
  Energy energy;
  for (std::size_t c = 0; c < cell_list.size(); ++c)
  {
    const CellValues displacement = cell_values(cell_list[c], u);
    for (const Point &point : points[c])
    {
      const Strain E = strain(point, displacement * point.gradient);
      energy.laminations += 0.5 * point.volume * E.dot(laminations[cell_list[c].lamination] * E);
    }
  }
  for (const GlueElement &element : glue_list)
  {
    const auto traction = tractions(element, u);
    for (int k = 0; k < 3; ++k)
      energy.glue += 0.5 * element.weight[k] *
                     (traction[k].peel * traction[k].peel / element.normal_stiffness[k] +
                      traction[k].shear * traction[k].shear / element.shear_stiffness[k]);
  }
  return energy;
}

template <int dim>
std::vector<typename LayeredSolid<dim>::Strain> LayeredSolid<dim>::gauss_strains(const Cell &cell, const Eigen::VectorXd &u) const
{
  const CellValues displacement = cell_values(cell, u);
  std::vector<Strain> result;
  for (const Point &point : sample_points[&cell - cell_list.data()])
    result.push_back(strain(point, displacement * point.gradient));
  return result;
}

template class LayeredSolid<2>;
} // namespace limbwright
