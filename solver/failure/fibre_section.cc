#include "solver/failure/fibre_section.h"

#include <Eigen/Cholesky>

#include <algorithm>
#include <cmath>

namespace limbwright
{
double SectionBending::strain(double depth, double z, double length_ratio) const
{
  const double elongation = stretch(depth, z, length_ratio) - 1.;
  return elongation + 0.5 * elongation * elongation;
}

SectionForces SectionForces::operator+(const SectionForces &other) const
{
  return {axial + other.axial, moment + other.moment, moment_sideways + other.moment_sideways, shear + other.shear};
}

SectionForces SectionForces::operator*(double factor) const
{
  return {factor * axial, factor * moment, factor * moment_sideways, factor * shear};
}

FibreSection::FibreSection(std::vector<Fibre> fibres, std::vector<Fibre> points, std::vector<double> widths, double curvature,
                           bool sideways)
    : fibre_list(std::move(fibres)),
      point_list(std::move(points)),
      point_width(std::move(widths)),
      back_curvature(curvature),
      bends_sideways(sideways)
{
}

FibreStress FibreSection::stress_of(const Fibre &fibre, const SectionBending &bending, double crushed_before) const
{
  const double strain = bending.strain(fibre.depth, fibre.z, fibre.length_ratio) + fibre.prestrain;
  if (fibre.law)
    return crush_fibre(*fibre.law, fibre.modulus, strain, crushed_before);
  return {fibre.modulus * strain, fibre.modulus, 0.};
}

bool FibreSection::solve_group(const Group &group, const FibreSectionState &before, SectionBending &bending) const
{
  using Unknowns = Eigen::Vector3d; // axis, slope, sideways
  std::vector<std::size_t> own;
  double area = 0., middle = 0., stiffness = 0.;
  for (std::size_t i = 0; i < fibre_list.size(); ++i)
    if (const Fibre &fibre = fibre_list[i]; fibre.lamination >= group.first && fibre.lamination <= group.last)
    {
      own.push_back(i);
      area += fibre.area;
      middle += fibre.area * fibre.depth;
      stiffness += fibre.area * fibre.modulus;
    }
  if (own.empty() || !(stiffness > 0.))
    return false;
  middle /= area;
  double size = 0.;
  for (const std::size_t i : own)
    size = std::max(size, std::abs(fibre_list[i].depth - middle));
  // About the middle of the group, lengths over its size: all unknowns are strains then.
  const Unknowns target(group.forces.axial, (group.forces.moment - middle * group.forces.axial) / size,
                        group.forces.moment_sideways / size);
  const auto bending_of = [&](const Unknowns &x) {
    return SectionBending{x[0] - x[1] * middle / size, x[1] / size, x[2] / size};
  };
  Unknowns x(bending.axis + bending.slope * middle, bending.slope * size, bending.sideways * size);
  Eigen::Matrix3d tangent;
  const auto residual_at = [&](const Unknowns &at)
  {
    const SectionBending trial = bending_of(at);
    Unknowns residual = -target;
    tangent.setZero();
    for (const std::size_t i : own)
    {
      const Fibre &fibre = fibre_list[i];
      const FibreStress law = stress_of(fibre, trial, before.crushed.empty() ? 0. : before.crushed[i]);
      const double stretch = trial.stretch(fibre.depth, fibre.z, fibre.length_ratio);
      const Unknowns arm(1., (fibre.depth - middle) / size, bends_sideways ? fibre.z / size : 0.);
      residual += fibre.area * stretch * law.stress * arm;
      tangent += fibre.area * (law.stress + stretch * stretch * law.tangent) / fibre.length_ratio * arm * arm.transpose();
    }
    if (!bends_sideways)
    {
      residual[2] = 0.;
      tangent(2, 2) = 1.;
    }
    return residual;
  };
  const double scale = 1e-10 * (target.norm() + 1e-6 * stiffness);
  Unknowns residual = residual_at(x);
  for (int iteration = 0; iteration < 60; ++iteration)
  {
    if (residual.norm() <= scale)
    {
      bending = bending_of(x);
      return true;
    }
    Unknowns step = -tangent.ldlt().solve(residual);
    if (const double largest = step.cwiseAbs().maxCoeff(); largest > 0.02)
      step *= 0.02 / largest;
    const double norm = residual.norm();
    for (double length = 1.; length > 1e-3; length *= 0.5)
    {
      const Unknowns next = x + length * step;
      residual = residual_at(next);
      if (residual.norm() < norm || length <= 2e-3)
      {
        x = next;
        break;
      }
    }
    if (!x.allFinite() || x.cwiseAbs().maxCoeff() > 0.5)
      return false;
  }
  return false;
}

FibreSectionState FibreSection::solve(const std::vector<Group> &groups, const FibreSectionState &before) const
{
  FibreSectionState state = before;
  state.found = true;
  state.crushed.resize(fibre_list.size() + point_list.size(), 0.);
  state.yielded.resize(fibre_list.size(), 0.);
  int n_laminations = 0;
  for (const Group &group : groups)
    n_laminations = std::max(n_laminations, group.last + 1);
  state.bending.resize(static_cast<std::size_t>(n_laminations));
  for (const Group &group : groups)
  {
    SectionBending bending = state.bending[static_cast<std::size_t>(group.first)];
    if (!solve_group(group, before, bending))
    {
      state.found = false;
      continue;
    }
    for (int l = group.first; l <= group.last; ++l)
      state.bending[static_cast<std::size_t>(l)] = bending;
  }
  if (!state.found)
    return state;
  for (std::size_t i = 0; i < fibre_list.size() + point_list.size(); ++i)
  {
    const bool is_fibre = i < fibre_list.size();
    const Fibre &fibre = is_fibre ? fibre_list[i] : point_list[i - fibre_list.size()];
    if (!fibre.law)
      continue;
    const SectionBending &bending = state.bending[static_cast<std::size_t>(fibre.lamination)];
    state.crushed[i] = stress_of(fibre, bending, state.crushed[i]).plastic_strain;
    if (!is_fibre)
      continue;
    // The strain is linear through the slice: which part of it is past the proportional limit.
    const double limit = fibre.law->yield / fibre.modulus;
    const double past = -bending.strain(fibre.depth, fibre.z, fibre.length_ratio) - fibre.prestrain - limit;
    const double range = std::abs(bending.slope) * fibre.height / fibre.length_ratio;
    const double fraction = range > 0. ? std::clamp(0.5 + past / range, 0., 1.) : past > 0. ? 1. : 0.;
    state.yielded[i] = std::max(state.yielded[i], fraction);
  }
  return state;
}

double FibreSection::yielded(const FibreSectionState &state) const
{
  double area = 0., past = 0.;
  for (std::size_t i = 0; i < fibre_list.size(); ++i)
  {
    area += fibre_list[i].area;
    past += fibre_list[i].area * state.yielded[i];
  }
  return past / area;
}

SectionStress FibreSection::along(std::size_t index, const FibreSectionState &state) const
{
  const Fibre &point = point_list[index];
  const SectionBending &bending = state.bending[static_cast<std::size_t>(point.lamination)];
  SectionStress stress;
  stress.crushed = state.crushed[fibre_list.size() + index];
  stress.strain = bending.strain(point.depth, point.z, point.length_ratio) + point.prestrain;
  stress.along = point.modulus * (stress.strain + stress.crushed);
  return stress;
}

std::vector<SectionStress> FibreSection::stresses(const std::vector<Group> &groups, const FibreSectionState &state) const
{
  std::vector<SectionStress> result;
  for (std::size_t p = 0; p < point_list.size(); ++p)
    result.push_back(along(p, state));
  for (const Group &group : groups)
  {
    double EA = 0., ES = 0., EI = 0.;
    double taper = 0., taper_moment = 0.; // [N/m], [N] change of force and moment along the limb while the bending stays
    const auto in_group = [&](const Fibre &fibre) { return fibre.lamination >= group.first && fibre.lamination <= group.last; };
    const auto pull = [&](std::size_t f) // [N] of a fibre
    {
      const Fibre &fibre = fibre_list[f];
      const SectionBending &bending = state.bending[static_cast<std::size_t>(fibre.lamination)];
      const double strain = bending.strain(fibre.depth, fibre.z, fibre.length_ratio) + fibre.prestrain;
      return bending.stretch(fibre.depth, fibre.z, fibre.length_ratio) * fibre.modulus * (strain + state.crushed[f]) * fibre.area;
    };
    const auto tapering = [&](std::size_t f) // [N/m] of a fibre
    {
      const Fibre &fibre = fibre_list[f];
      return fibre.growth * pull(f) -
             fibre.modulus * fibre.area * state.bending[static_cast<std::size_t>(fibre.lamination)].slope * fibre.slope;
    };
    for (std::size_t f = 0; f < fibre_list.size(); ++f)
      if (const Fibre &fibre = fibre_list[f]; in_group(fibre))
      {
        taper += tapering(f);
        taper_moment += tapering(f) * fibre.depth - pull(f) * fibre.slope;
        EA += fibre.modulus * fibre.area;
        ES += fibre.modulus * fibre.area * fibre.depth;
        EI += fibre.modulus * fibre.area * fibre.depth * fibre.depth;
      }
    const double middle = ES / EA, bending_stiffness = EI - ES * middle;
    // How the strain in the middle [1/m] and the bending [1/m2] change along the limb: the axial force stays, the moment falls by
    // the shear force.
    const double stretching = -taper / EA,
                 bending_more = -(group.forces.shear + taper_moment - taper * middle) / bending_stiffness;
    std::vector<std::size_t> order; // from belly to back
    for (std::size_t p = 0; p < point_list.size(); ++p)
      if (in_group(point_list[p]))
        order.push_back(p);
    if (order.empty())
      continue;
    std::stable_sort(order.begin(), order.end(),
                     [&](std::size_t one, std::size_t other) { return point_list[one].depth > point_list[other].depth; });
    // Of all that lies deeper: force, its change along the limb, first moment of the stiffness, and the part of the shear force
    // that it bears.
    std::size_t i = 0;
    double force = 0., change = 0., first_moment = 0., of_shear = 0., reached = point_list[order.front()].depth;
    const auto go_to = [&](double depth)
    {
      of_shear += first_moment / bending_stiffness * (reached - depth);
      reached = depth;
    };
    for (const std::size_t p : order)
    {
      const Fibre &point = point_list[p];
      for (; i < fibre_list.size() && (fibre_list[i].depth > point.depth || !in_group(fibre_list[i])); ++i)
        if (const Fibre &fibre = fibre_list[i]; in_group(fibre))
        {
          go_to(fibre.depth);
          force += pull(i);
          change += tapering(i) + fibre.modulus * fibre.area * (stretching + bending_more * (fibre.depth - middle));
          first_moment += fibre.modulus * fibre.area * (fibre.depth - middle);
        }
      go_to(point.depth);
      // The shear force falls along the limb by the curvature times the axial force: nothing is left at the back.
      const double curvature = back_curvature + state.bending[static_cast<std::size_t>(point.lamination)].slope;
      result[p].through =
          -curvature * (force - of_shear * group.forces.axial) / point_width[p] + point.slope * point.slope * result[p].along;
      result[p].shear = point.slope * result[p].along - change / point_width[p];
    }
  }
  return result;
}
} // namespace limbwright
