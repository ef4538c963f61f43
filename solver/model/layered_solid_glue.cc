// The glue lines of LayeredSolid.
#include "meshing/mesh/limb_mesh.h"
#include "solver/model/glue_bond.h"
#include "solver/model/glue_law.h"
#include "solver/model/layered_solid.h"
#include "solver/model/quadratic_line.h"

#include <Eigen/Geometry>

#include <algorithm>
#include <cmath>
#include <stdexcept>
#include <utility>

namespace limbwright
{
namespace
{
using quadratic_line::simpson;
using quadratic_line::slope;

template <int dim>
constexpr int n_face = dim == 2 ? 3 : 9; // nodes of a side of a glue element

template <int dim>
using SeparationOperator = Eigen::Matrix<double, GlueSeparation<dim>::n_variables, dim * 2 * n_face<dim>>;

// Weight of a face's node: Simpson's rule in each direction. Integrating at the nodes keeps the tractions of a stiff interface
// from oscillating (Schellekens and de Borst 1993, Int. J. Numer. Meth. Engng 36:43).
template <int dim>
double node_share(int node)
{
  return dim == 2 ? simpson[node] : simpson[node % 3] * simpson[node / 3];
}

// w of GlueSeparation at a node is its operator times the element's unknowns: belly nodes, then back nodes.
template <int dim>
SeparationOperator<dim> separation_operator(int node)
{
  SeparationOperator<dim> T = SeparationOperator<dim>::Zero();
  const int j = node % 3, k = node / 3, back = dim * n_face<dim>;
  for (int i = 0; i < dim; ++i)
  {
    T(i, back + dim * node + i) = 1.;
    T(i, dim * node + i) = -1.;
    for (int l = 0; l < 3; ++l)
    {
      const int along = dim * (l + 3 * k) + i;
      T(dim + i, along) = T(dim + i, back + along) = 0.5 * slope[j][l];
      if constexpr (dim == 3)
      {
        const int across = dim * (j + 3 * l) + i;
        T(2 * dim + i, across) = T(2 * dim + i, back + across) = 0.5 * slope[k][l];
      }
    }
  }
  return T;
}

template <int dim>
const std::array<SeparationOperator<dim>, n_face<dim>> &separation_operators()
{
  static const auto operators = []
  {
    std::array<SeparationOperator<dim>, n_face<dim>> list;
    for (int node = 0; node < n_face<dim>; ++node)
      list[node] = separation_operator<dim>(node);
    return list;
  }();
  return operators;
}

// What a point of a glue line answers to a separation: opening, slip along, in a solid slip across.
template <int dim>
struct GlueResponse
{
  Eigen::Matrix<double, dim, 1> traction;
  Eigen::Matrix<double, dim, dim> tangent;
  CohesiveState state;
};

template <int dim>
GlueResponse<dim> glue_law(const CohesiveBond &bond, const CohesiveState &before, const Eigen::Matrix<double, dim, 1> &apart,
                           double relaxation)
{
  GlueResponse<dim> result;
  if constexpr (dim == 2)
  {
    const CohesiveResponse law = cohesive_step(bond, before, apart[0], apart[1], relaxation);
    result = {law.traction, law.tangent, law.state};
  }
  else
  {
    // The law knows how far the faces slip, not which way.
    const double slip = apart.template tail<2>().norm();
    const Eigen::Vector2d way = slip > 0. ? Eigen::Vector2d(apart.template tail<2>() / slip) : Eigen::Vector2d::UnitX();
    const CohesiveResponse law = cohesive_step(bond, before, apart[0], slip, relaxation);
    const double square = slip > 0. ? law.traction.y() / slip : law.tangent(1, 1);
    result.traction << law.traction.x(), law.traction.y() * way;
    result.tangent(0, 0) = law.tangent(0, 0);
    result.tangent.template topRightCorner<1, 2>() = law.tangent(0, 1) * way.transpose();
    result.tangent.template bottomLeftCorner<2, 1>() = law.tangent(1, 0) * way;
    result.tangent.template bottomRightCorner<2, 2>() =
        square * Eigen::Matrix2d::Identity() + (law.tangent(1, 1) - square) * way * way.transpose();
    result.state = law.state;
  }
  return result;
}

// Parted faces that neither open nor press into each other.
template <int dim>
GlueResponse<dim> held_law(const CohesiveBond &bond, const Eigen::Matrix<double, dim, 1> &apart)
{
  using Vector = Eigen::Matrix<double, dim, 1>;
  const Vector stiffness = bond.normal_stiffness * Vector::UnitX();
  return {stiffness.cwiseProduct(apart), stiffness.asDiagonal(), {}};
}

// Opening and slip, whichever way.
template <int dim>
std::pair<double, double> opening_and_slip(const Eigen::Matrix<double, dim, 1> &apart)
{
  return {apart[0], dim == 2 ? apart[1] : apart.template tail<dim - 1>().norm()};
}

template <typename Solid>
auto element_values(const typename Solid::GlueElement &element, const auto &value_of_node)
{
  constexpr int dim = Solid::n_slips + 1, n = Solid::n_nodes_per_face;
  Eigen::Matrix<double, dim * 2 * n, 1> values;
  for (int k = 0; k < n; ++k)
  {
    values.template segment<dim>(dim * k) = value_of_node(element.belly_nodes[k]);
    values.template segment<dim>(dim * (n + k)) = value_of_node(element.back_nodes[k]);
  }
  return values;
}
} // namespace

template <int dim>
void LayeredSolid<dim>::make_glue(const std::map<std::string, Material> &materials,
                                  const std::map<std::string, Adhesive> &adhesives)
{
  using Separation = GlueSeparation<dim>;
  const double copies = half_width() ? 2. : 1.;
  for (const auto &face : limb_mesh.glue_faces())
  {
    GlueElement element{};
    element.line = face.line;
    element.column = face.column;
    element.strip = face.strip;
    for (int k = 0; k < n_nodes_per_face; ++k)
    {
      element.belly_nodes[k] = cell_list[face.belly_cell].nodes[2 + 3 * k];
      element.back_nodes[k] = cell_list[face.back_cell].nodes[3 * k];
      element.thickness[k] = face.thickness[k % 3];
    }
    const GlueLineDescription &line = shape().description().glue[face.line];
    const Node &middle = node_list[element.belly_nodes[n_nodes_per_face / 2]];
    const GluePatch *patch = patch_at(line, middle.station);
    if (dim == 3 && patch != nullptr && !patch->reaches(middle.across, shape().width(middle.station)))
      patch = nullptr;
    const GlueBond bond(line, patch, dim == 2, adhesives);
    const double square = dim == 3 ? std::cos(line.slant) : 1.; // thickness square to it over that square to the limb
    const FaceValues places = glue_place(element, Eigen::VectorXd::Zero(dim * static_cast<Eigen::Index>(node_list.size())));
    for (int k = 0; k < n_nodes_per_face; ++k)
    {
      const typename Separation::Vector w = separation_operators<dim>()[k] * places;
      element.at_rest[k] = Separation(w, Separation::Derivatives::none).apart;
      const Node &belly = node_list[element.belly_nodes[k]];
      if constexpr (dim == 2)
        element.weight[k] = node_share<dim>(k) * w.template tail<2>().norm() * shape().width(belly.station, belly.depth);
      else
        element.weight[k] = node_share<dim>(k) * copies * w.template segment<3>(3).cross(w.template segment<3>(6)).norm();
      const BondStiffness stiffness = bond.stiffness(belly.station, element.thickness[k]);
      element.normal_stiffness[k] = stiffness.normal / square;
      element.shear_stiffness[k] = stiffness.shear / square;
    }
    element.open = bond.holding() == 0.;
    element.can_part = line.cohesive && !element.open;
    any_parting = any_parting || element.can_part;
    any_open = any_open || element.open;
    if (element.open)
    {
      for (int k = 0; k < n_nodes_per_face; ++k) // the faces meet once the gap, told square to the limb, is closed
        element.at_rest[k][0] -= square * patch->gap_at(node_list[element.belly_nodes[k]].station);
      const NockDescription &loop = shape().description().nock;
      const double nock = loop.station;
      if (loop.bound && nock > column_stations()[element.column] - same_station &&
          nock < column_stations()[element.column + 1] + same_station)
      {
        element.open = false;
        element.shear_stiffness.fill(0.);
      }
    }
    if (element.can_part)
    {
      const auto &laminations_of_limb = shape().description().laminations;
      const LaminationDescription &belly = laminations_of_limb[cell_list[face.belly_cell].lamination],
                                  &back = laminations_of_limb[cell_list[face.back_cell].lamination];
      element.bond = bond.parting(materials.at(belly.material), belly.ring, materials.at(back.material), back.ring);
      for (int k = 0; k < n_nodes_per_face; ++k)
        if (const std::string fault = unsound(element.bond_at(k)); !fault.empty())
          throw std::invalid_argument("The glue between " + belly.name + " and " + back.name + " cannot part: " + fault + ".");
    }
    glue_list.push_back(element);
  }
}

template <int dim>
CohesiveState LayeredSolid<dim>::glue_state(const GlueElement &element, int node) const
{
  if (element.open)
    return CohesiveState::parted();
  return past.glue.empty() ? CohesiveState{} : past.glue[n_nodes_per_face * (&element - glue_list.data()) + node];
}

template <int dim>
double LayeredSolid<dim>::parted_length() const
{
  double length = 0.;
  const double copies = half_width() ? 2. : 1.;
  for (const GlueElement &element : glue_list)
    if (element.can_part)
    {
      const Node &root = node_list[element.belly_nodes[0]], &tip = node_list[element.belly_nodes[2]];
      double whole = std::abs(tip.station - root.station);
      if constexpr (dim == 3) // its share of the width
        whole *= 0.5 * copies * (node_list[element.belly_nodes[8]].across - root.across);
      for (int k = 0; k < n_nodes_per_face; ++k)
        if (glue_state(element, k).fraction >= 1. - 1e-6)
          length += node_share<dim>(k) * whole;
    }
  return length;
}

// Where the element's nodes are now.
template <int dim>
typename LayeredSolid<dim>::FaceValues LayeredSolid<dim>::glue_place(const GlueElement &element, const Eigen::VectorXd &u) const
{
  return element_values<LayeredSolid>(
      element,
      [&](int node) -> Vector
      { return Eigen::Map<const Eigen::Vector3d>(node_list[node].place.data()).head<dim>() + u.segment<dim>(dim * node); });
}

template <int dim>
typename LayeredSolid<dim>::Separations LayeredSolid<dim>::separations(const GlueElement &element, const Eigen::VectorXd &u) const
{
  using Separation = GlueSeparation<dim>;
  const FaceValues place = glue_place(element, u);
  Separations result;
  for (int k = 0; k < n_nodes_per_face; ++k)
    result[k] = Separation(separation_operators<dim>()[k] * place, Separation::Derivatives::none).apart - element.at_rest[k];
  return result;
}

// The jumps' linear part, as the strain's.
template <int dim>
void LayeredSolid<dim>::prestrain_glue(const Eigen::VectorXd &u)
{
  using Separation = GlueSeparation<dim>;
  for (GlueElement &element : glue_list)
  {
    const FaceValues reference = glue_place(element, Eigen::VectorXd::Zero(u.size()));
    const FaceValues moved = glue_place(element, u) - reference;
    for (int k = 0; k < n_nodes_per_face; ++k)
    {
      const auto &T = separation_operators<dim>()[k];
      element.at_rest[k] -= Separation(T * reference, Separation::Derivatives::first).gradient.transpose() * (T * moved);
    }
  }
}

template <int dim>
std::vector<CohesiveState> LayeredSolid<dim>::glue_states(const Eigen::VectorXd &u) const
{
  std::vector<CohesiveState> states;
  if (!any_parting)
    return states;
  states.resize(n_nodes_per_face * glue_list.size());
  for (std::size_t g = 0; g < glue_list.size(); ++g)
    if (glue_list[g].can_part)
    {
      const auto apart = separations(glue_list[g], u);
      for (int k = 0; k < n_nodes_per_face; ++k)
        states[n_nodes_per_face * g + k] =
            glue_law<dim>(glue_list[g].bond_at(k), glue_state(glue_list[g], k), apart[k], relaxation).state;
    }
  return states;
}

template <int dim>
void LayeredSolid<dim>::add_glue_energy(const Eigen::VectorXd &u, Energy &energy) const
{
  for (const GlueElement &element : glue_list)
  {
    if (!owns(element.column))
      continue;
    const auto apart = separations(element, u);
    for (int k = 0; k < n_nodes_per_face; ++k)
      if (element.can_part || element.open)
      {
        const CohesiveBond bond = element.bond_at(k);
        const CohesiveState state = glue_law<dim>(bond, glue_state(element, k), apart[k], relaxation).state;
        const auto [opening, slip] = opening_and_slip<dim>(apart[k]);
        energy.parted += element.weight[k] * state.spent;
        energy.delayed += element.weight[k] * state.delayed;
        energy.glue += element.weight[k] * stored_energy(bond, state, opening, slip);
      }
      else
        energy.glue += 0.5 * element.weight[k] *
                       (element.normal_stiffness[k] * apart[k][0] * apart[k][0] +
                        element.shear_stiffness[k] * apart[k].template tail<n_slips>().squaredNorm());
  }
}

template <int dim>
void LayeredSolid<dim>::assemble_glue(std::size_t index, const Eigen::VectorXd &u, const Eigen::VectorXd &du,
                                      Eigen::VectorXd &sum)
{
  using Separation = GlueSeparation<dim>;
  using ElementMatrix = Eigen::Matrix<double, FaceValues::RowsAtCompileTime, FaceValues::RowsAtCompileTime>;
  using Square = Eigen::Matrix<double, dim, dim>;
  const GlueElement &element = glue_list[index];
  const FaceValues place = glue_place(element, u);
  const FaceValues step = element_values<LayeredSolid>(element, [&](int node) -> Vector { return du.segment<dim>(dim * node); });
  const bool stepped = !step.isZero(0.);
  FaceValues force = FaceValues::Zero();
  ElementMatrix K = ElementMatrix::Zero(), skew_part;
  bool any_skew = false;
  for (int k = 0; k < n_nodes_per_face; ++k)
  {
    const auto &T = separation_operators<dim>()[k];
    const typename Separation::Vector w = T * place;
    const Separation now(w);
    const Vector apart = now.apart - element.at_rest[k];
    // Mixed-point Newton, as in the cells: tractions of the geometric part from the step linearised at its start.
    Vector apart_mixed = apart;
    if (stepped)
    {
      const typename Separation::Vector dw = T * step;
      const Separation before(w - dw, Separation::Derivatives::first);
      apart_mixed = before.apart + before.gradient.transpose() * dw - element.at_rest[k];
    }
    Vector traction, mixed;
    Square tangent = Square::Zero();
    if (element.can_part || element.open)
    {
      const CohesiveBond bond = element.bond_at(k);
      const CohesiveState state = glue_state(element, k);
      const auto answer = [&](const Vector &at)
      { return faces_held && state.fraction == 1. ? held_law<dim>(bond, at) : glue_law<dim>(bond, state, at, relaxation); };
      const GlueResponse<dim> law = answer(apart);
      traction = law.traction;
      mixed = answer(apart_mixed).traction;
      tangent = 0.5 * (law.tangent + law.tangent.transpose());
      const Square skew = 0.5 * (law.tangent - law.tangent.transpose()); // while the mix changes
      if (skew.norm() > 1e-3 * tangent.norm())
      {
        if (!any_skew)
          skew_part.setZero();
        skew_part += element.weight[k] * T.transpose() * (now.gradient * skew * now.gradient.transpose()) * T;
        any_skew = true;
      }
    }
    else
    {
      tangent.diagonal().setConstant(element.shear_stiffness[k]);
      tangent(0, 0) = element.normal_stiffness[k];
      traction = tangent * apart;
      mixed = tangent * apart_mixed;
    }
    typename Separation::Matrix stiffness = now.gradient * tangent * now.gradient.transpose();
    for (int c = 0; c < dim; ++c)
      stiffness += geometric_share * mixed[c] * now.hessian[c];
    force += element.weight[k] * T.transpose() * (now.gradient * traction);
    K += element.weight[k] * T.transpose() * stiffness * T;
  }
  scatter(glue_maps[index], glue_blocks[index], K, force, sum);
  if (any_skew)
  {
    const Eigen::MatrixXd &P = glue_maps[index].transform;
    tangent_matrix.add_skew(glue_blocks[index], P.size() == 0 ? Eigen::MatrixXd(skew_part) : P.transpose() * skew_part * P);
  }
}

template <int dim>
typename LayeredSolid<dim>::GlueTractions LayeredSolid<dim>::tractions(const GlueElement &element, const Eigen::VectorXd &u) const
{
  GlueTractions result;
  const auto apart = separations(element, u);
  for (int k = 0; k < n_nodes_per_face; ++k)
  {
    Vector traction;
    if (element.can_part || element.open)
      traction = glue_law<dim>(element.bond_at(k), glue_state(element, k), apart[k], relaxation).traction;
    else
    {
      traction = element.shear_stiffness[k] * apart[k];
      traction[0] = element.normal_stiffness[k] * apart[k][0];
    }
    result[k] = {traction[0], traction[1], dim == 3 ? traction[dim - 1] : 0.};
  }
  return result;
}

template <int dim>
typename LayeredSolid<dim>::FaceValues LayeredSolid<dim>::glue_force(const GlueElement &element, const Eigen::VectorXd &u) const
{
  using Separation = GlueSeparation<dim>;
  const FaceValues place = glue_place(element, u);
  const GlueTractions traction = tractions(element, u);
  FaceValues force = FaceValues::Zero();
  for (int k = 0; k < n_nodes_per_face; ++k)
  {
    const auto &T = separation_operators<dim>()[k];
    Vector components;
    components[0] = traction[k].peel;
    components[1] = traction[k].shear;
    if constexpr (dim == 3)
      components[2] = traction[k].shear_across;
    force += element.weight[k] * T.transpose() * (Separation(T * place, Separation::Derivatives::first).gradient * components);
  }
  return force;
}

template void LayeredSolid<2>::make_glue(const std::map<std::string, Material> &, const std::map<std::string, Adhesive> &);
template LayeredSolid<2>::Separations LayeredSolid<2>::separations(const GlueElement &, const Eigen::VectorXd &) const;
template void LayeredSolid<2>::prestrain_glue(const Eigen::VectorXd &);
template double LayeredSolid<2>::parted_length() const;
template CohesiveState LayeredSolid<2>::glue_state(const GlueElement &, int) const;
template std::vector<CohesiveState> LayeredSolid<2>::glue_states(const Eigen::VectorXd &) const;
template void LayeredSolid<2>::add_glue_energy(const Eigen::VectorXd &, Energy &) const;
template void LayeredSolid<2>::assemble_glue(std::size_t, const Eigen::VectorXd &, const Eigen::VectorXd &, Eigen::VectorXd &);
template LayeredSolid<2>::FaceValues LayeredSolid<2>::glue_force(const GlueElement &, const Eigen::VectorXd &) const;
template LayeredSolid<2>::GlueTractions LayeredSolid<2>::tractions(const GlueElement &, const Eigen::VectorXd &) const;
template void LayeredSolid<3>::make_glue(const std::map<std::string, Material> &, const std::map<std::string, Adhesive> &);
template LayeredSolid<3>::Separations LayeredSolid<3>::separations(const GlueElement &, const Eigen::VectorXd &) const;
template void LayeredSolid<3>::prestrain_glue(const Eigen::VectorXd &);
template double LayeredSolid<3>::parted_length() const;
template CohesiveState LayeredSolid<3>::glue_state(const GlueElement &, int) const;
template std::vector<CohesiveState> LayeredSolid<3>::glue_states(const Eigen::VectorXd &) const;
template void LayeredSolid<3>::add_glue_energy(const Eigen::VectorXd &, Energy &) const;
template void LayeredSolid<3>::assemble_glue(std::size_t, const Eigen::VectorXd &, const Eigen::VectorXd &, Eigen::VectorXd &);
template LayeredSolid<3>::FaceValues LayeredSolid<3>::glue_force(const GlueElement &, const Eigen::VectorXd &) const;
template LayeredSolid<3>::GlueTractions LayeredSolid<3>::tractions(const GlueElement &, const Eigen::VectorXd &) const;
} // namespace limbwright
