#include "solver/model/section_functional.h"

#include <algorithm>
#include <cmath>
#include <map>

namespace limbwright
{
namespace
{
struct SectionWeights
{
  std::map<int, double> share; // by node, sums to one
  double centroid = 0.;        // [m] depth
  double variance = 0.;        // [m2]
  double variance_across = 0.; // [m2]
};

// Where it lies in a section whose rows follow a split that slants. [m]
double depth_of(const LimbModel::Node &node)
{
  return node.depth + node.slanted;
}

SectionWeights section_weights(const LimbModel &solid, double station)
{
  SectionWeights section;
  section.share = solid.section_shares(station);
  const auto &nodes = solid.nodes();
  for (const auto &[node, share] : section.share)
    section.centroid += share * depth_of(nodes[node]);
  for (const auto &[node, share] : section.share)
  {
    section.variance += share * std::pow(depth_of(nodes[node]) - section.centroid, 2);
    section.variance_across += share * std::pow(nodes[node].place[2], 2);
  }
  return section;
}

SectionFunctional functional(const LimbModel &solid, const SectionWeights &section, double constant, double linear,
                             double sideways = 0.)
{
  SectionFunctional result;
  result.reference.setZero();
  for (const auto &[node, share] : section.share)
  {
    const auto &entry = solid.nodes()[node];
    const double weight = share * (constant + linear * (depth_of(entry) - section.centroid) + sideways * entry.place[2]);
    result.nodes.push_back(node);
    result.weights.push_back(weight);
    result.reference += weight * Eigen::Map<const Eigen::Vector3d>(entry.place.data());
  }
  return result;
}
} // namespace

SectionFunctional section_point(const LimbModel &solid, double station, double depth, double across)
{
  const SectionWeights section = section_weights(solid, station);
  return functional(solid, section, 1., (depth - section.centroid) / section.variance,
                    across == 0. ? 0. : across / section.variance_across);
}

SectionFunctional section_director(const LimbModel &solid, double station)
{
  const SectionWeights section = section_weights(solid, station);
  return functional(solid, section, 0., 1. / section.variance);
}

LoadPoints::LoadPoints(LimbModel &solid, const std::vector<SectionFunctional> &functionals)
{
  const int dim = solid.dimension();
  std::vector<int> dofs;
  for (const SectionFunctional &f : functionals)
    for (const int node : f.nodes)
      for (int c = 0; c < dim; ++c)
        dofs.push_back(dim * node + c);
  std::sort(dofs.begin(), dofs.end());
  dofs.erase(std::unique(dofs.begin(), dofs.end()), dofs.end());
  const auto row = [&](int dof) { return std::lower_bound(dofs.begin(), dofs.end(), dof) - dofs.begin(); };

  Eigen::MatrixXd on_dofs = Eigen::MatrixXd::Zero(3 * functionals.size(), dofs.size());
  reference.resize(3 * functionals.size());
  for (std::size_t k = 0; k < functionals.size(); ++k)
  {
    reference.segment<3>(3 * k) = functionals[k].reference;
    for (std::size_t n = 0; n < functionals[k].nodes.size(); ++n)
      for (int c = 0; c < dim; ++c)
        on_dofs(3 * k + c, row(dim * functionals[k].nodes[n] + c)) += functionals[k].weights[n];
  }
  const ReducedSpace::ElementMap map = solid.space().element(dofs);
  masters = map.masters;
  if (map.transform.size() == 0)
    W = on_dofs;
  else
    W = on_dofs * map.transform;
  block = solid.announce_block(masters);
}

Eigen::VectorXd LoadPoints::values(const Eigen::VectorXd &q) const
{
  Eigen::VectorXd local(masters.size());
  for (std::size_t i = 0; i < masters.size(); ++i)
    local[i] = q[masters[i]];
  return reference + W * local;
}

void LoadPoints::add_force(const Eigen::VectorXd &gradient, Eigen::Ref<Eigen::VectorXd> sum) const
{
  const Eigen::VectorXd local = W.transpose() * gradient;
  for (std::size_t i = 0; i < masters.size(); ++i)
    sum[masters[i]] += local[i];
}

void LoadPoints::add_stiffness(const Eigen::MatrixXd &hessian, SymmetricMatrix &tangent) const
{
  if (tangent.takes_loads())
    tangent.add(block, W.transpose() * hessian * W);
}
} // namespace limbwright
