#include "solver/model/patch_drag.h"

#include "solver/model/layered_solid.h"

#include <cmath>
#include <map>
#include <utility>

namespace limbwright
{
PatchDrag::PatchDrag(LimbModel &solid)
{
  if (solid.dimension() == 2)
    collect<2>(solid);
  else
    collect<3>(solid);
}

template <int dim>
void PatchDrag::collect(LimbModel &model)
{
  const auto &solid = dynamic_cast<const LayeredSolid<dim> &>(model);
  const LimbShape &shape = solid.shape();
  std::map<std::pair<int, int>, double> stiffness; // by node on the belly's and on the back's side
  for (const auto &element : solid.glue())
  {
    if (!element.open)
      continue;
    const GluePatch *patch = patch_at(shape.description().glue[element.line],
                                      solid.nodes()[element.belly_nodes[LayeredSolid<dim>::n_nodes_per_face / 2]].station);
    const LooseLayer layer = shape.loose_layer(element.line, 0.5 * (patch->from + patch->to));
    const double wave = 2. * M_PI / (patch->to - patch->from);
    const double per_area =
        solid.stiffness(layer.lamination)(0, 0) * std::pow(layer.thickness, 3) / 12. * std::pow(wave, 4); // [Pa/m]
    for (int k = 0; k < LayeredSolid<dim>::n_nodes_per_face; ++k)
      stiffness[{element.belly_nodes[k], element.back_nodes[k]}] += per_area * element.weight[k];
  }
  for (const auto &[nodes, value] : stiffness)
    pairs.push_back({LoadPoints(model, {{{nodes.first, nodes.second}, {-1., 1.}, Eigen::Vector3d::Zero()}}), value});
}

void PatchDrag::add(const Eigen::VectorXd &motion, double time, Eigen::VectorXd &force, SymmetricMatrix &tangent) const
{
  for (const Pair &pair : pairs)
  {
    const double rate = pair.stiffness / time;
    pair.apart.add_force(rate * pair.apart.values(motion), force);
    pair.apart.add_stiffness(rate * Eigen::Matrix3d::Identity(), tangent);
  }
}

Eigen::VectorXd PatchDrag::force(const Eigen::VectorXd &motion, double time) const
{
  Eigen::VectorXd sum = Eigen::VectorXd::Zero(motion.size());
  for (const Pair &pair : pairs)
    pair.apart.add_force(pair.stiffness / time * pair.apart.values(motion), sum);
  return sum;
}
} // namespace limbwright
