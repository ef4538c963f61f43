#include "solver/model/layered_solid.h"
#include "materials/law/piola_crushing.h"
#include "meshing/mesh/limb_mesh.h"

#include <algorithm>
#include <cmath>

namespace limbwright
{
template <int dim>
LayeredSolid<dim>::LayeredSolid(const LimbMesh<dim> &mesh, const std::map<std::string, Material> &materials,
                                const std::map<std::string, Adhesive> &adhesives, PlaneState plane, const Supports &supports,
                                const Communicator &communicator)
    : LimbModel(communicator), limb_mesh(mesh)
{
  for (const LaminationDescription &lamination : mesh.shape().description().laminations)
  {
    const OrthotropicConstants &constants = materials.at(lamination.material).constants;
    if constexpr (dim == 2)
      laminations.push_back(plane_stiffness(constants, lamination.ring, plane));
    else
      laminations.push_back(solid_stiffness(constants, lamination.ring));
  }
  crushing.resize(laminations.size());
  share_columns();
  make_nodes_and_points();
  make_weak_parts(materials, plane);
  make_glue(materials, adhesives);
  make_bands();
  make_supports(supports);
}

// Columns with about as many cells for each process.
template <int dim>
void LayeredSolid<dim>::share_columns()
{
  const auto &places = limb_mesh.places();
  const auto border = [&](int rank)
  {
    const std::size_t cell = places.size() * static_cast<std::size_t>(rank) / static_cast<std::size_t>(ranks.n_ranks());
    return cell == places.size() ? limb_mesh.n_columns() : places[cell].column;
  };
  first_column = border(ranks.rank());
  last_column = border(ranks.rank() + 1);
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
bool LayeredSolid<dim>::half_width() const
{
  return limb_mesh.half_width();
}

template <int dim>
typename LayeredSolid<dim>::CellValues LayeredSolid<dim>::cell_values(const Cell &cell, const Eigen::VectorXd &u)
{
  CellValues values;
  for (int k = 0; k < n_nodes_per_cell; ++k)
    values.col(k) = u.segment<dim>(dim * cell.nodes[k]);
  return values;
}

namespace
{
// The strain whose tensor is half of `twice`, in the order of LayeredSolid.
Eigen::Vector3d strain_of(const Eigen::Matrix2d &twice)
{
  return {0.5 * twice(0, 0), 0.5 * twice(1, 1), twice(0, 1)};
}

Eigen::Matrix<double, 6, 1> strain_of(const Eigen::Matrix3d &twice)
{
  return {0.5 * twice(0, 0), 0.5 * twice(1, 1), 0.5 * twice(2, 2), twice(1, 2), twice(0, 2), twice(0, 1)};
}

// A stress as a tensor.
Eigen::Matrix2d tensor_of(const Eigen::Vector3d &S)
{
  Eigen::Matrix2d tensor;
  tensor << S[0], S[2], S[2], S[1];
  return tensor;
}

Eigen::Matrix3d tensor_of(const Eigen::Matrix<double, 6, 1> &S)
{
  Eigen::Matrix3d tensor;
  tensor << S[0], S[5], S[4], S[5], S[1], S[3], S[4], S[3], S[2];
  return tensor;
}

// What a gradient of component i of a displacement, along the grain axes, adds to the strain: f is row i of the deformed axes.
Eigen::Matrix<double, 3, 2> strain_operator(const Eigen::RowVector2d &f)
{
  Eigen::Matrix<double, 3, 2> B;
  B << f[0], 0., 0., f[1], f[1], f[0];
  return B;
}

Eigen::Matrix<double, 6, 3> strain_operator(const Eigen::RowVector3d &f)
{
  Eigen::Matrix<double, 6, 3> B;
  B << f[0], 0., 0., 0., f[1], 0., 0., 0., f[2], 0., f[2], f[1], f[2], 0., f[0], f[1], f[0], 0.;
  return B;
}
} // namespace

template <int dim>
typename LayeredSolid<dim>::Strain LayeredSolid<dim>::strain(const Point &point, const Gradient &h) const
{
  const Gradient linear = point.axes.transpose() * h;
  const Gradient twice = linear + linear.transpose() + h.transpose() * h;
  return strain_of(twice) + prestrain_share * point.prestrain;
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
      const WeakPartOf<dim> &weak = weak_list[static_cast<std::size_t>(part.weak)];
      own = weak.to_own * own;
      f(i, part, own, own_stress(weak, own, past.crushed.empty() ? 0. : past.crushed[i]));
      continue;
    }
    f(i, part, own,
      law ? crush(*law, D, own, past.crushed.empty() ? 0. : past.crushed[i]) : CrushedStress<n_strains>{D * own, D, 0.});
  }
}

template <int dim>
CrushedStress<LayeredSolid<dim>::n_strains> LayeredSolid<dim>::stress_at(const Point &point, const Strain &E) const
{
  CrushedStress<n_strains> sum{Strain::Zero(), Stiffness::Zero(), 0.};
  for_each_part(point, E,
                [&](std::size_t, const Part &part, const Strain &, const CrushedStress<n_strains> &law)
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
        point.prestrain += strain_of(Gradient(linear + linear.transpose()));
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
                    [&](std::size_t i, const Part &, const Strain &, const CrushedStress<n_strains> &law)
                    { crushed[i] = law.plastic_strain; });
  }
  past.crushed = std::move(crushed);
}

template <int dim>
void LayeredSolid<dim>::assemble(const Eigen::VectorXd &q, const Eigen::VectorXd &last_step, Eigen::VectorXd &internal_force)
{
  if (!tangent_matrix.closed())
  {
    Eigen::VectorXd stations(dim * static_cast<Eigen::Index>(node_list.size()));
    for (std::size_t node = 0; node < node_list.size(); ++node)
      stations.segment<dim>(dim * static_cast<Eigen::Index>(node)).setConstant(node_list[node].station);
    tangent_matrix.close(reduced->n_free(), reduced->sample(stations));
  }
  tangent_matrix.set_zero();
  internal_force = Eigen::VectorXd::Zero(reduced->n_free());
  const Eigen::VectorXd u = reduced->expand(q), du = reduced->expand(last_step),
                        before = drag ? reduced->expand(drag->from) : Eigen::VectorXd();
  for (std::size_t c = 0; c < cell_list.size(); ++c)
    if (owns(cell_list[c].column))
      assemble_cell(c, u, du, before, internal_force);
  for (std::size_t g = 0; g < glue_list.size(); ++g)
    if (owns(glue_list[g].column))
      assemble_glue(g, u, du, internal_force);
  for (std::size_t b = 0; b < band_list.size(); ++b)
    if (owns(band_list[b].column))
      assemble_band(b, u, internal_force);
  ranks.sum(internal_force);
}

template <int dim>
void LayeredSolid<dim>::scatter(const ReducedSpace::ElementMap &map, int block, const Eigen::Ref<const Eigen::MatrixXd> &tangent,
                                const Eigen::Ref<const Eigen::VectorXd> &force, Eigen::VectorXd &sum)
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
void LayeredSolid<dim>::assemble_cell(std::size_t c, const Eigen::VectorXd &u, const Eigen::VectorXd &du,
                                      const Eigen::VectorXd &before, Eigen::VectorXd &sum)
{
  constexpr int n_unknowns = dim * n_nodes_per_cell;
  constexpr int n_points = n_nodes_per_cell; // 3 per direction
  const Cell &cell = cell_list[c];
  const CellValues displacement = cell_values(cell, u), step = cell_values(cell, du),
                   earlier = drag ? cell_values(cell, before) : CellValues();

  // With g_a the gradient of shape function a along the grain axes, the tangent between components i and j of nodes a and b is
  // the sum over the points of g_a . A_ij g_b, A_ij = B_i^T D B_j + delta_ij S. All points stacked: a product for every pair i <=
  // j.
  constexpr int n_pairs = dim * (dim + 1) / 2;
  Eigen::Matrix<double, n_points * dim, n_nodes_per_cell> G;
  std::array<Eigen::Matrix<double, n_points * dim, n_nodes_per_cell>, n_pairs> AG;
  Eigen::Matrix<double, dim, n_nodes_per_cell> force = Eigen::Matrix<double, dim, n_nodes_per_cell>::Zero();
  for (int p = 0; p < n_points; ++p)
  {
    const Point &point = points[c][p];
    const Gradient h = displacement * point.gradient, dh = step * point.gradient;
    const Gradient f = point.axes + h; // columns: deformed grain axes
    const Strain E = strain(point, h);
    CrushedStress<n_strains> law = stress_at(point, E);
    if (drag)
    {
      const Stiffness viscous = laminations[cell.lamination] / drag->time;
      law.stress += viscous * (E - strain(point, earlier * point.gradient));
      law.tangent += viscous;
    }
    const Stiffness D = point.volume * law.tangent;
    const Strain S = point.volume * law.stress;
    // Strain of the last step, linearised at its start: E minus the step's quadratic part.
    const Gradient S_mixed = geometric_share * tensor_of(Strain(S - D * strain_of(Gradient(dh.transpose() * dh))));
    force += f * tensor_of(S) * point.gradient.transpose();
    const auto gradients = G.template middleRows<dim>(dim * p) = point.gradient.transpose();
    for (int i = 0, pair = 0; i < dim; ++i)
    {
      const Eigen::Matrix<double, dim, n_strains> BD = strain_operator(Eigen::Matrix<double, 1, dim>(f.row(i))).transpose() * D;
      for (int j = i; j < dim; ++j, ++pair)
      {
        Gradient A = BD * strain_operator(Eigen::Matrix<double, 1, dim>(f.row(j)));
        if (i == j)
          A += S_mixed;
        AG[pair].template middleRows<dim>(dim * p).noalias() = A * gradients;
      }
    }
  }
  Eigen::Matrix<double, n_unknowns, n_unknowns> K;
  for (int i = 0, pair = 0; i < dim; ++i)
    for (int j = i; j < dim; ++j, ++pair)
    {
      // The blocked product that Eigen takes costs more in packing than such small factors have to multiply.
      Eigen::Matrix<double, n_nodes_per_cell, n_nodes_per_cell> block;
      if constexpr (dim == 2)
        block = G.transpose().lazyProduct(AG[pair]);
      else
        block = G.transpose() * AG[pair];
      for (int a = 0; a < n_nodes_per_cell; ++a)
        for (int b = 0; b < n_nodes_per_cell; ++b)
        {
          K(dim * a + i, dim * b + j) = block(a, b);
          K(dim * b + j, dim * a + i) = block(a, b);
        }
    }
  scatter(cell_maps[c], cell_blocks[c], K, Eigen::Map<const Eigen::Matrix<double, n_unknowns, 1>>(force.data()), sum);
}

template <int dim>
typename LayeredSolid<dim>::CellValues LayeredSolid<dim>::cell_force(std::size_t c, const Eigen::VectorXd &u) const
{
  const CellValues displacement = cell_values(cell_list[c], u);
  CellValues force = CellValues::Zero();
  for (const Point &point : points[c])
  {
    const Gradient h = displacement * point.gradient;
    const Gradient stress = tensor_of(Strain(point.volume * stress_at(point, strain(point, h)).stress));
    force += (point.axes + h) * stress * point.gradient.transpose();
  }
  return force;
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
                    [&](std::size_t, const Part &part, Strain E, const CrushedStress<n_strains> &law)
                    {
                      E[0] += law.plastic_strain;
                      energy.laminations += 0.5 * point.volume * part.share * E.dot(law.stress);
                      if (law.plastic_strain > 0.)
                      {
                        const auto &flow =
                            part.weak >= 0 ? weak_list[static_cast<std::size_t>(part.weak)].crush : crushing[part.lamination];
                        energy.crushed += point.volume * part.share * piola_dissipated(*flow, law.plastic_strain);
                      }
                    });
  }
  add_glue_energy(u, energy);
  for (const Band &band : band_list)
    if (owns(band.column))
      energy.wraps += band.law.energy(span(band, u).norm());
  for (double *part : {&energy.laminations, &energy.glue, &energy.wraps, &energy.crushed, &energy.parted, &energy.delayed})
    *part = ranks.sum(*part);
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
template class LayeredSolid<3>;
} // namespace limbwright
