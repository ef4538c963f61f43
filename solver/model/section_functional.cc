#include "solver/model/section_functional.h"

#include <Eigen/Eigenvalues>

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

LoadPoints::LoadPoints(LimbModel &solid, const std::vector<SectionFunctional> &functionals, const std::vector<int> &chain)
{
  const int dim = solid.dimension();
  reference.resize(3 * static_cast<Eigen::Index>(functionals.size()));
  for (const SectionFunctional &f : functionals)
  {
    reference.segment<3>(3 * static_cast<Eigen::Index>(points.size())) = f.reference;
    std::vector<int> dofs;
    Eigen::MatrixXd on_dofs = Eigen::MatrixXd::Zero(3, dim * static_cast<Eigen::Index>(f.nodes.size()));
    for (std::size_t n = 0; n < f.nodes.size(); ++n)
      for (int c = 0; c < dim; ++c)
      {
        on_dofs(c, static_cast<Eigen::Index>(dofs.size())) = f.weights[n];
        dofs.push_back(dim * f.nodes[n] + c);
      }
    const ReducedSpace::ElementMap map = solid.space().element(dofs);
    points.push_back({map.masters, map.transform.size() == 0 ? on_dofs : Eigen::MatrixXd(on_dofs * map.transform),
                      solid.announce_block(map.masters)});
  }
  for (std::size_t i = 0; i + 1 < chain.size(); ++i)
  {
    const auto [first, second] = std::minmax(chain[i], chain[i + 1]);
    Tie tie;
    std::vector<int> both;
    const auto rows = [&](const std::vector<int> &masters)
    {
      std::vector<int> at;
      for (const int master : masters)
      {
        at.push_back(static_cast<int>(std::find(both.begin(), both.end(), master) - both.begin()));
        if (at.back() == static_cast<int>(both.size()))
          both.push_back(master);
      }
      return at;
    };
    tie.at_first = rows(points[first].masters);
    tie.at_second = rows(points[second].masters);
    tie.size = static_cast<int>(both.size());
    tie.block = solid.announce_block(both);
    ties[{first, second}] = tie;
  }
}

Eigen::VectorXd LoadPoints::values(const Eigen::VectorXd &q) const
{
  Eigen::VectorXd result = reference;
  for (std::size_t k = 0; k < points.size(); ++k)
  {
    const Point &point = points[k];
    for (std::size_t i = 0; i < point.masters.size(); ++i)
      result.segment<3>(3 * static_cast<Eigen::Index>(k)) += point.W.col(static_cast<Eigen::Index>(i)) * q[point.masters[i]];
  }
  return result;
}

void LoadPoints::add_force(const Eigen::VectorXd &gradient, Eigen::Ref<Eigen::VectorXd> sum) const
{
  for (int k = 0; k < static_cast<int>(points.size()); ++k)
    add_force(k, gradient.segment<3>(3 * k), sum);
}

void LoadPoints::add_force(int functional, const Eigen::Vector3d &gradient, Eigen::Ref<Eigen::VectorXd> sum) const
{
  const Point &point = points[functional];
  const Eigen::VectorXd local = point.W.transpose() * gradient;
  for (std::size_t i = 0; i < point.masters.size(); ++i)
    sum[point.masters[i]] += local[static_cast<Eigen::Index>(i)];
}

void LoadPoints::add_stiffness(int functional, const Eigen::Matrix3d &hessian, SymmetricMatrix &tangent) const
{
  const Point &point = points[functional];
  if (tangent.takes_loads())
    tangent.add(point.block, point.W.transpose() * hessian * point.W);
}

void LoadPoints::add_tie(int one, int other, const Eigen::Matrix3d &hessian, SymmetricMatrix &tangent) const
{
  const auto [first, second] = std::minmax(one, other);
  const Point &a = points[first], &b = points[second];
  const auto tie = ties.find({first, second});
  if (tie != ties.end())
  {
    Eigen::MatrixXd difference = Eigen::MatrixXd::Zero(3, tie->second.size);
    for (std::size_t i = 0; i < tie->second.at_first.size(); ++i)
      difference.col(tie->second.at_first[i]) += a.W.col(static_cast<Eigen::Index>(i));
    for (std::size_t i = 0; i < tie->second.at_second.size(); ++i)
      difference.col(tie->second.at_second[i]) -= b.W.col(static_cast<Eigen::Index>(i));
    if (tangent.takes_loads())
      tangent.add(tie->second.block, difference.transpose() * hessian * difference);
    return;
  }
  const Eigen::SelfAdjointEigenSolver<Eigen::Matrix3d> modes(hessian);
  for (int i = 0; i < 3; ++i)
  {
    const double factor = modes.eigenvalues()[i];
    if (std::abs(factor) <= 1e-12 * modes.eigenvalues().cwiseAbs().maxCoeff())
      continue;
    OuterProduct product{a.masters, Eigen::VectorXd(a.masters.size() + b.masters.size()), factor};
    product.unknowns.insert(product.unknowns.end(), b.masters.begin(), b.masters.end());
    product.values << a.W.transpose() * modes.eigenvectors().col(i), b.W.transpose() * -modes.eigenvectors().col(i);
    if (product.values.norm() > 1e-12) // out of the side view nothing moves
      tangent.add(std::move(product));
  }
}
} // namespace limbwright
