#include "solver/model/reduced_space.h"

#include <deal.II/lac/affine_constraints.h>

#include <map>

namespace limbwright
{
ReducedSpace::ReducedSpace(const dealii::AffineConstraints<double> &constraints, int n_dofs)
    : free_of_dof(n_dofs, -1), line_of_dof(n_dofs, -1)
{
  for (int dof = 0; dof < n_dofs; ++dof)
    if (!constraints.is_constrained(dof))
      free_of_dof[dof] = free_count++;
  for (const auto &constraint : constraints.get_lines())
  {
    Line line{static_cast<int>(constraint.index), {}};
    for (const auto &[dof, weight] : constraint.entries)
      line.entries.emplace_back(static_cast<int>(dof), weight);
    line_of_dof[line.dof] = static_cast<int>(lines.size());
    lines.push_back(std::move(line));
  }
}

Eigen::VectorXd ReducedSpace::expand(const Eigen::VectorXd &q) const
{
  Eigen::VectorXd u(n_dofs());
  for (int dof = 0; dof < n_dofs(); ++dof)
    u[dof] = free_of_dof[dof] >= 0 ? q[free_of_dof[dof]] : 0.;
  for (const Line &line : lines)
    for (const auto &[dof, weight] : line.entries)
      u[line.dof] += weight * q[free_of_dof[dof]];
  return u;
}

Eigen::VectorXd ReducedSpace::restrict_to_free(const Eigen::VectorXd &force) const
{
  Eigen::VectorXd r(n_free());
  for (int dof = 0; dof < n_dofs(); ++dof)
    if (free_of_dof[dof] >= 0)
      r[free_of_dof[dof]] = force[dof];
  for (const Line &line : lines)
    for (const auto &[dof, weight] : line.entries)
      r[free_of_dof[dof]] += weight * force[line.dof];
  return r;
}

Eigen::VectorXd ReducedSpace::sample(const Eigen::VectorXd &u) const
{
  Eigen::VectorXd q(n_free());
  for (int dof = 0; dof < n_dofs(); ++dof)
    if (free_of_dof[dof] >= 0)
      q[free_of_dof[dof]] = u[dof];
  return q;
}

ReducedSpace::ElementMap ReducedSpace::element(const std::vector<int> &dofs) const
{
  ElementMap map;
  std::map<int, int> place; // remaining unknown -> column
  bool plain = true;
  const auto column = [&](int free)
  {
    const auto [entry, is_new] = place.try_emplace(free, static_cast<int>(map.masters.size()));
    if (is_new)
      map.masters.push_back(free);
    return entry->second;
  };
  std::vector<std::vector<std::pair<int, double>>> rows(dofs.size());
  for (std::size_t i = 0; i < dofs.size(); ++i)
    if (free_of_dof[dofs[i]] >= 0)
      rows[i].emplace_back(column(free_of_dof[dofs[i]]), 1.);
    else
    {
      plain = false;
      for (const auto &[dof, weight] : lines[line_of_dof[dofs[i]]].entries)
        rows[i].emplace_back(column(free_of_dof[dof]), weight);
    }
  if (!plain)
  {
    map.transform = Eigen::MatrixXd::Zero(dofs.size(), map.masters.size());
    for (std::size_t i = 0; i < dofs.size(); ++i)
      for (const auto &[j, weight] : rows[i])
        map.transform(i, j) += weight;
  }
  return map;
}
} // namespace limbwright
