// The glue lines of LayeredSolid.
#include "materials/bond_strength.h"
#include "meshing/mesh/limb_mesh.h"
#include "solver/model/glue_law.h"
#include "solver/model/layered_solid.h"

#include <algorithm>
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
void LayeredSolid<dim>::make_glue(const std::map<std::string, Material> &materials,
                                  const std::map<std::string, Adhesive> &adhesives)
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
    const GlueLineDescription &line = shape().description().glue[face.line];
    const auto place = [&](int node) { return Vector2d(node_list[node].place[0], node_list[node].place[1]); };
    // Simpson's weights: integrating at the nodes keeps the tractions of a stiff interface from oscillating (Schellekens and
    // de Borst 1993, Int. J. Numer. Meth. Engng 36:43).
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
      element.weight[k] = simpson[k] * tangent.norm() * shape().width(belly.station, belly.depth);
      if (line.thickness > 0.)
      {
        const Adhesive &adhesive = adhesives.at(line.adhesive);
        element.normal_stiffness[k] = adhesive.youngs_modulus / element.thickness[k];
        element.shear_stiffness[k] = adhesive.shear_modulus / element.thickness[k];
      }
      else
        element.normal_stiffness[k] = element.shear_stiffness[k] = line.bond_stiffness;
    }
    const GluePatch *patch = patch_at(line, node_list[element.belly_nodes[1]].station);
    element.open = patch != nullptr && patch->open();
    element.can_part = line.cohesive && !element.open;
    if (element.can_part || element.open)
      any_parting = true;
    if (element.open)
      for (int k = 0; k < 3; ++k) // the faces meet once the gap is closed
        element.reference_normal[k] -= patch->gap_at(node_list[element.belly_nodes[k]].station);
    if (element.can_part)
    {
      const auto &laminations_of_limb = shape().description().laminations;
      const LaminationDescription &belly = laminations_of_limb[cell_list[face.belly_cell].lamination],
                                  &back = laminations_of_limb[cell_list[face.back_cell].lamination];
      element.bond = parting_bond(adhesives.at(line.adhesive), materials.at(belly.material), belly.ring,
                                  materials.at(back.material), back.ring);
      if (patch != nullptr)
        element.bond = weakened(element.bond, patch->holding());
      for (int k = 0; k < 3; ++k)
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
  return past.glue.empty() ? CohesiveState{} : past.glue[3 * (&element - glue_list.data()) + node];
}

template <int dim>
Eigen::VectorXd LayeredSolid<dim>::drag() const
{
  const LimbDescription &limb = shape().description();
  double stiffness = 0.; // [N/m4]
  for (std::size_t line = 0; line < limb.glue.size(); ++line)
    for (const GluePatch &patch : limb.glue[line].patches)
      if (patch.open())
      {
        const LooseLayer layer = shape().loose_layer(line, 0.5 * (patch.from + patch.to));
        const double wave = 2. * M_PI / (patch.to - patch.from);
        stiffness =
            std::max(stiffness, laminations[layer.lamination](0, 0) * std::pow(layer.thickness, 2) / 12. * std::pow(wave, 4));
      }
  if (stiffness == 0.)
    return {};
  Eigen::VectorXd volume = Eigen::VectorXd::Zero(reduced->n_dofs());
  for (std::size_t c = 0; c < cell_list.size(); ++c)
  {
    double whole = 0.;
    for (const Point &point : points[c])
      whole += point.volume;
    for (const int node : cell_list[c].nodes)
      volume.template segment<dim>(dim * node).array() += whole / n_nodes_per_cell;
  }
  return stiffness * reduced->restrict_to_free(volume);
}

// Where the element's twelve unknowns are now.
template <int dim>
Eigen::Matrix<double, 12, 1> LayeredSolid<dim>::glue_place(const GlueElement &element, const Eigen::VectorXd &u) const
{
  return element_values<LayeredSolid>(
      element,
      [&](int node) -> Eigen::Vector2d
      { return Eigen::Vector2d(node_list[node].place[0], node_list[node].place[1]) + u.segment<2>(2 * node); });
}

template <int dim>
std::array<Eigen::Vector2d, 3> LayeredSolid<dim>::separations(const GlueElement &element, const Eigen::VectorXd &u) const
{
  const Eigen::Matrix<double, 12, 1> place = glue_place(element, u);
  std::array<Eigen::Vector2d, 3> result;
  for (int k = 0; k < 3; ++k)
  {
    const GlueSeparation now(separation_operators[k] * place, false);
    result[k] << now.normal - element.reference_normal[k], now.slip - element.reference_slip[k];
  }
  return result;
}

// The jumps' linear part, as the strain's.
template <int dim>
void LayeredSolid<dim>::prestrain_glue(const Eigen::VectorXd &u)
{
  for (GlueElement &element : glue_list)
  {
    const Eigen::Matrix<double, 12, 1> reference = glue_place(element, Eigen::VectorXd::Zero(u.size()));
    const Eigen::Matrix<double, 12, 1> moved = glue_place(element, u) - reference;
    for (int k = 0; k < 3; ++k)
    {
      const GlueSeparation at(separation_operators[k] * reference);
      element.reference_normal[k] -= at.normal_gradient.dot(separation_operators[k] * moved);
      element.reference_slip[k] -= at.slip_gradient.dot(separation_operators[k] * moved);
    }
  }
}

template <int dim>
std::array<CohesiveResponse, 3> LayeredSolid<dim>::glue_response(const GlueElement &element, const Eigen::VectorXd &u) const
{
  const auto apart = separations(element, u);
  std::array<CohesiveResponse, 3> result;
  for (int k = 0; k < 3; ++k)
    result[k] = cohesive_step(element.bond_at(k), glue_state(element, k), apart[k].x(), apart[k].y(), relaxation);
  return result;
}

template <int dim>
std::vector<CohesiveState> LayeredSolid<dim>::glue_states(const Eigen::VectorXd &u) const
{
  std::vector<CohesiveState> states;
  if (!any_parting)
    return states;
  states.resize(3 * glue_list.size());
  for (std::size_t g = 0; g < glue_list.size(); ++g)
    if (glue_list[g].can_part)
    {
      const auto response = glue_response(glue_list[g], u);
      for (std::size_t k = 0; k < 3; ++k)
        states[3 * g + k] = response[k].state;
    }
  return states;
}

template <int dim>
void LayeredSolid<dim>::add_glue_energy(const Eigen::VectorXd &u, Energy &energy) const
{
  for (const GlueElement &element : glue_list)
  {
    const auto apart = separations(element, u);
    for (int k = 0; k < 3; ++k)
      if (element.can_part || element.open)
      {
        const CohesiveBond bond = element.bond_at(k);
        const double opening = apart[k].x(), slip = apart[k].y();
        const CohesiveState state = cohesive_step(bond, glue_state(element, k), opening, slip, relaxation).state;
        energy.parted += element.weight[k] * state.spent;
        energy.delayed += element.weight[k] * state.delayed;
        energy.glue += element.weight[k] * stored_energy(bond, state, opening, slip);
      }
      else
        energy.glue += 0.5 * element.weight[k] *
                       (element.normal_stiffness[k] * apart[k].x() * apart[k].x() +
                        element.shear_stiffness[k] * apart[k].y() * apart[k].y());
  }
}

template <int dim>
void LayeredSolid<dim>::assemble_glue(std::size_t index, const Eigen::VectorXd &u, const Eigen::VectorXd &du,
                                      Eigen::VectorXd &sum)
{
  using Vector12 = Eigen::Matrix<double, 12, 1>;
  const GlueElement &element = glue_list[index];
  const Vector12 place = glue_place(element, u);
  const Vector12 step =
      element_values<LayeredSolid>(element, [&](int node) -> Eigen::Vector2d { return du.segment<2>(2 * node); });
  Vector12 force = Vector12::Zero();
  Eigen::Matrix<double, 12, 12> K = Eigen::Matrix<double, 12, 12>::Zero();
  for (int k = 0; k < 3; ++k)
  {
    const auto &T = separation_operators[k];
    const Eigen::Vector4d w = T * place, dw = T * step;
    const GlueSeparation now(w);
    if (element.can_part || element.open)
    {
      const CohesiveResponse law =
          cohesive_step(element.bond_at(k), glue_state(element, k), now.normal - element.reference_normal[k],
                        now.slip - element.reference_slip[k], relaxation);
      Eigen::Matrix<double, 4, 2> gradients;
      gradients << now.normal_gradient, now.slip_gradient;
      // The symmetric part: while the mix changes the law's own tangent is not symmetric, and the solver's is.
      const Eigen::Matrix2d C = 0.5 * (law.tangent + law.tangent.transpose());
      const Eigen::Matrix4d stiffness =
          gradients * C * gradients.transpose() + law.traction.x() * now.normal_hessian + law.traction.y() * now.slip_hessian;
      force += element.weight[k] * T.transpose() * (gradients * law.traction);
      K += element.weight[k] * T.transpose() * stiffness * T;
      continue;
    }
    const double normal = element.weight[k] * element.normal_stiffness[k], shear = element.weight[k] * element.shear_stiffness[k];
    const double peel_force = normal * (now.normal - element.reference_normal[k]);
    const double shear_force = shear * (now.slip - element.reference_slip[k]);
    // Mixed-point Newton, as in the cells: tractions of the geometric part from the step linearised at its start.
    const GlueSeparation before(w - dw);
    const double peel_mixed = normal * (before.normal + before.normal_gradient.dot(dw) - element.reference_normal[k]);
    const double shear_mixed = shear * (before.slip + before.slip_gradient.dot(dw) - element.reference_slip[k]);
    const Eigen::Vector4d gradient = peel_force * now.normal_gradient + shear_force * now.slip_gradient;
    const Eigen::Matrix4d hessian = normal * now.normal_gradient * now.normal_gradient.transpose() +
                                    shear * now.slip_gradient * now.slip_gradient.transpose() + peel_mixed * now.normal_hessian +
                                    shear_mixed * now.slip_hessian;
    force += T.transpose() * gradient;
    K += T.transpose() * hessian * T;
  }
  scatter(glue_maps[index], glue_blocks[index], K, force, sum);
}

template <int dim>
std::array<typename LayeredSolid<dim>::GlueTraction, 3> LayeredSolid<dim>::tractions(const GlueElement &element,
                                                                                     const Eigen::VectorXd &u) const
{
  std::array<GlueTraction, 3> result;
  if (element.can_part || element.open)
  {
    const auto response = glue_response(element, u);
    for (int k = 0; k < 3; ++k)
      result[k] = {response[k].traction.x(), response[k].traction.y()};
    return result;
  }
  const auto apart = separations(element, u);
  for (int k = 0; k < 3; ++k)
    result[k] = {element.normal_stiffness[k] * apart[k].x(), element.shear_stiffness[k] * apart[k].y()};
  return result;
}

template void LayeredSolid<2>::make_glue(const std::map<std::string, Material> &, const std::map<std::string, Adhesive> &);
template std::array<Eigen::Vector2d, 3> LayeredSolid<2>::separations(const GlueElement &, const Eigen::VectorXd &) const;
template void LayeredSolid<2>::prestrain_glue(const Eigen::VectorXd &);
template Eigen::VectorXd LayeredSolid<2>::drag() const;
template CohesiveState LayeredSolid<2>::glue_state(const GlueElement &, int) const;
template std::vector<CohesiveState> LayeredSolid<2>::glue_states(const Eigen::VectorXd &) const;
template void LayeredSolid<2>::add_glue_energy(const Eigen::VectorXd &, Energy &) const;
template void LayeredSolid<2>::assemble_glue(std::size_t, const Eigen::VectorXd &, const Eigen::VectorXd &, Eigen::VectorXd &);
template std::array<LayeredSolid<2>::GlueTraction, 3> LayeredSolid<2>::tractions(const GlueElement &,
                                                                                 const Eigen::VectorXd &) const;
} // namespace limbwright
