// The glue lines of LayeredSolid.
#include "meshing/mesh/limb_mesh.h"
#include "solver/model/glue_law.h"
#include "solver/model/layered_solid.h"

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
    glue_list.push_back(element);
  }
}

template <int dim>
void LayeredSolid<dim>::assemble_glue(std::size_t index, const Eigen::VectorXd &u, const Eigen::VectorXd &du,
                                      Eigen::VectorXd &sum)
{
  using Vector12 = Eigen::Matrix<double, 12, 1>;
  const GlueElement &element = glue_list[index];
  const Vector12 place = element_values<LayeredSolid>(
      element,
      [&](int node) -> Eigen::Vector2d
      { return Eigen::Vector2d(node_list[node].place[0], node_list[node].place[1]) + u.segment<2>(2 * node); });
  const Vector12 step =
      element_values<LayeredSolid>(element, [&](int node) -> Eigen::Vector2d { return du.segment<2>(2 * node); });
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
  const Eigen::Matrix<double, 12, 1> place = element_values<LayeredSolid>(
      element,
      [&](int node) -> Eigen::Vector2d
      { return Eigen::Vector2d(node_list[node].place[0], node_list[node].place[1]) + u.segment<2>(2 * node); });
  std::array<GlueTraction, 3> result;
  for (int k = 0; k < 3; ++k)
  {
    const GlueSeparation now(separation_operators[k] * place, false);
    result[k].peel = element.normal_stiffness[k] * (now.normal - element.reference_normal[k]);
    result[k].shear = element.shear_stiffness[k] * (now.slip - element.reference_slip[k]);
  }
  return result;
}

template void LayeredSolid<2>::make_glue(const std::map<std::string, Adhesive> &);
template void LayeredSolid<2>::assemble_glue(std::size_t, const Eigen::VectorXd &, const Eigen::VectorXd &, Eigen::VectorXd &);
template std::array<LayeredSolid<2>::GlueTraction, 3> LayeredSolid<2>::tractions(const GlueElement &,
                                                                                 const Eigen::VectorXd &) const;
} // namespace limbwright
