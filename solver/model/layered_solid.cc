#include "solver/model/layered_solid.h"
#include "meshing/mesh/limb_mesh.h"

#include <algorithm>
#include <cmath>

namespace limbwright
{
template <int dim>
LayeredSolid<dim>::LayeredSolid(const LimbMesh<dim> &mesh, const std::map<std::string, Material> &materials,
                                const std::map<std::string, Adhesive> &adhesives, PlaneState plane, const Supports &supports)
    : limb_mesh(mesh)
{
  for (const LaminationDescription &lamination : mesh.shape().description().laminations)
    laminations.push_back(plane_stiffness(materials.at(lamination.material).constants, lamination.ring, plane));
  crushing.resize(laminations.size());
  make_nodes_and_points();
  make_weak_parts(materials, plane);
  make_glue(materials, adhesives);
  make_supports(supports);
}

template <int dim>
const LimbShape &LayeredSolid<dim>::shape() const
{
  return limb_mesh.shape();
}

template <int dim>
const std::vector<double> &LayeredSolid<dim>::column_stations() const
{
  return limb_mesh.column_stations();
}

template <int dim>
double LayeredSolid<dim>::nearest_column(double station) const
{
  const auto &columns = column_stations();
  return *std::min_element(columns.begin(), columns.end(),
                           [&](double a, double b) { return std::abs(a - station) < std::abs(b - station); });
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
typename LayeredSolid<dim>::Strain LayeredSolid<dim>::strain(const Point &point, const Gradient &h) const
{
  const Gradient linear = point.axes.transpose() * h;
  const Gradient twice = linear + linear.transpose() + h.transpose() * h;
  return Strain(0.5 * twice(0, 0), 0.5 * twice(1, 1), twice(0, 1)) + prestrain_share * point.prestrain;
}

template <int dim>
template <class F>
void LayeredSolid<dim>::for_each_part(const Point &point, const Strain &E, F f) const
{
  for (std::size_t i = point.first_part; i < point.last_part; ++i)
  {
    const Part &part = parts[i];
    const auto &D = laminations[part.lamination];
    const auto &law = crushing[part.lamination];
    Strain own = E;
    own[0] += prestrain_share * part.prestrain_along;
    if (part.weak >= 0)
    {
      const WeakPart &weak = weak_list[static_cast<std::size_t>(part.weak)];
      own = weak.to_own * own;
      f(i, part, own, own_stress(weak, own, past.crushed.empty() ? 0. : past.crushed[i]));
      continue;
    }
    f(i, part, own, law ? crush(*law, D, own, past.crushed.empty() ? 0. : past.crushed[i]) : CrushedStress{D * own, D, 0.});
  }
}

template <int dim>
CrushedStress LayeredSolid<dim>::stress_at(const Point &point, const Strain &E) const
{
  CrushedStress sum{Strain::Zero(), Eigen::Matrix<double, n_strains, n_strains>::Zero(), 0.};
  for_each_part(point, E,
                [&](std::size_t, const Part &part, const Strain &, const CrushedStress &law)
                {
                  if (part.weak >= 0)
                  {
                    const auto &turn = weak_list[static_cast<std::size_t>(part.weak)].to_own;
                    sum.stress += part.share * (turn.transpose() * law.stress);
                    sum.tangent += part.share * (turn.transpose() * law.tangent * turn);
                    return;
                  }
                  sum.stress += part.share * law.stress;
                  sum.tangent += part.share * law.tangent;
                });
  return sum;
}

template <int dim>
void LayeredSolid<dim>::add_prestrain(const Eigen::VectorXd &q)
{
  const Eigen::VectorXd u = reduced->expand(q);
  for (std::size_t c = 0; c < cell_list.size(); ++c)
  {
    const CellValues displacement = cell_values(cell_list[c], u);
    for (std::vector<Point> *rule : {&points[c], &sample_points[c]})
      for (Point &point : *rule)
      {
        const Gradient linear = point.axes.transpose() * displacement * point.gradient;
        point.prestrain += Strain(linear(0, 0), linear(1, 1), linear(0, 1) + linear(1, 0));
      }
  }
  prestrain_glue(u);
  any_prestrain = true;
}

template <int dim>
void LayeredSolid<dim>::commit(const Eigen::VectorXd &q)
{
  const Eigen::VectorXd u = reduced->expand(q);
  past.glue = glue_states(u);
  if (std::none_of(crushing.begin(), crushing.end(), [](const auto &law) { return law.has_value(); }))
    return;
  std::vector<double> crushed(parts.size(), 0.);
  for (std::size_t c = 0; c < cell_list.size(); ++c)
  {
    const CellValues displacement = cell_values(cell_list[c], u);
    for (const Point &point : points[c])
      for_each_part(point, strain(point, displacement * point.gradient),
                    [&](std::size_t i, const Part &, const Strain &, const CrushedStress &law)
                    { crushed[i] = law.plastic_strain; });
  }
  past.crushed = std::move(crushed);
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
    const CrushedStress law = stress_at(point, E);
    const Eigen::Matrix<double, n_strains, n_strains> D = point.volume * law.tangent;
    const Strain S = point.volume * law.stress;
    // Strain of the last step, linearised at its start: E minus the step's quadratic part.
    const Gradient quadratic = dh.transpose() * dh;
    const Strain S_mixed = S - D * Strain(0.5 * quadratic(0, 0), 0.5 * quadratic(1, 1), quadratic(0, 1));
    for (int a = 0; a < n_nodes_per_cell; ++a)
      for (int i = 0; i < dim; ++i)
      {
        B(n_strains * p + 0, dim * a + i) = f(i, 0) * point.gradient(a, 0);
        B(n_strains * p + 1, dim * a + i) = f(i, 1) * point.gradient(a, 1);
        B(n_strains * p + 2, dim * a + i) = f(i, 0) * point.gradient(a, 1) + f(i, 1) * point.gradient(a, 0);
      }
    DB.template middleRows<n_strains>(n_strains * p).noalias() = D * B.template middleRows<n_strains>(n_strains * p);
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
      for_each_part(point, strain(point, displacement * point.gradient),
                    [&](std::size_t, const Part &part, Strain E, const CrushedStress &law)
                    {
                      E[0] += law.plastic_strain;
                      energy.laminations += 0.5 * point.volume * part.share * E.dot(law.stress);
                      if (law.plastic_strain > 0.)
                      {
                        const auto &flow =
                            part.weak >= 0 ? weak_list[static_cast<std::size_t>(part.weak)].crush : crushing[part.lamination];
                        energy.crushed += point.volume * part.share * dissipated(*flow, law.plastic_strain);
                      }
                    });
  }
  add_glue_energy(u, energy);
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
