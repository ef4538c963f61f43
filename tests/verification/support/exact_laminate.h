#pragma once

#include "materials/law/orthotropic.h"

#include <Eigen/Core>
#include <Eigen/LU>
#include <unsupported/Eigen/MatrixFunctions>

#include <algorithm>
#include <utility>
#include <vector>

namespace limbwright::checks
{
/// Exact elasticity solution of a simply supported strip in cylindrical bending under sigma_z = q sin(p x) on its back face, p =
/// pi / span (Pagano 1969, J. Compos. Mater. 3:398), in state-space form and with elastic bonds between the plies. x runs along
/// the strip from a support, z toward the back. With u = U cos px, w = W sin px, tau = T cos px, sigma_z = Z sin px each ply
/// obeys
///   U' = T/C55 - p W,  W' = Z/C33 + p (C13/C33) U,  T' = p^2 (C11 - C13^2/C33) U - p (C13/C33) Z,  Z' = p T.
/// A bond carries shear and peel, no stress along: equilibrium of its thickness t gives Z+ - Z- = p t T; its peel is the mean of
/// both, its shear strain (u+ - u-)/t + d/dx (w+ + w-)/2.
class ExactLaminate
{
public:
  struct Ply
  {
    double thickness;  //!< [m]
    Matrix3 stiffness; //!< [Pa] along x, along z, shear
  };

  struct Bond
  {
    double thickness;                         //!< [m]
    double normal_stiffness, shear_stiffness; //!< [Pa/m]
  };

  /// Amplitudes of the sine and cosine waves.
  struct Wave
  {
    double u, w;          //!< [m]
    double shear, across; //!< [Pa] tau, sigma_z
    double along;         //!< [Pa] sigma_x
  };

  /// Plies from the belly to the back, a bond between each and the next; load q [Pa].
  ExactLaminate(std::vector<Ply> ply_list, const std::vector<Bond> &bonds, double wave_number, double load)
      : plies(std::move(ply_list)), p(wave_number)
  {
    for (const Ply &ply : plies)
      scale = std::max(scale, ply.stiffness(0, 0));
    // State at the belly side of each ply as a linear function of U and W at the belly face.
    std::vector<Eigen::Matrix<double, 4, 2>> maps;
    Eigen::Matrix<double, 4, 2> map = Eigen::Matrix<double, 4, 2>::Zero();
    map.topRows<2>().setIdentity();
    for (std::size_t i = 0; i < plies.size(); ++i)
    {
      maps.push_back(map);
      map = through_ply(i, plies[i].thickness) * map;
      if (i < bonds.size())
        map = through_bond(bonds[i]) * map;
    }
    const Eigen::Vector2d face = map.bottomRows<2>().lu().solve(Eigen::Vector2d(0., load / scale));
    for (const auto &m : maps)
      start.push_back(m * face);
    for (const Bond &bond : bonds)
      half_steps.push_back(0.5 * p * bond.thickness);
  }

  /// In a ply, at a height [m] above its belly face.
  Wave at(std::size_t ply, double height) const
  {
    const Eigen::Vector4d s = through_ply(ply, height) * start[ply];
    const Matrix3 &C = plies[ply].stiffness;
    const double along = -p * s[0] * (C(0, 0) - C(0, 1) * C(0, 1) / C(1, 1)) + scale * s[3] * C(0, 1) / C(1, 1);
    return {s[0], s[1], scale * s[2], scale * s[3], along};
  }

  double shear(std::size_t bond) const { return at(bond + 1, 0.).shear; } //!< [Pa] amplitude of the cosine
  double peel(std::size_t bond) const                                     //!< [Pa] amplitude of the sine
  {
    const Wave above = at(bond + 1, 0.);
    return above.across - half_steps[bond] * above.shear;
  }

private:
  std::vector<Ply> plies;
  double p;
  double scale = 0.; // stresses in the state are divided by this, so that all entries are of like size
  std::vector<Eigen::Vector4d> start;
  std::vector<double> half_steps;

  Eigen::Matrix4d through_ply(std::size_t ply, double height) const
  {
    const Matrix3 C = plies[ply].stiffness / scale;
    const double ratio = C(0, 1) / C(1, 1);
    Eigen::Matrix4d A = Eigen::Matrix4d::Zero();
    A(0, 1) = -p;
    A(0, 2) = 1. / C(2, 2);
    A(1, 0) = p * ratio;
    A(1, 3) = 1. / C(1, 1);
    A(2, 0) = p * p * (C(0, 0) - C(0, 1) * ratio);
    A(2, 3) = -p * ratio;
    A(3, 2) = p;
    const Eigen::Matrix4d step = A * height;
    return step.exp();
  }

  Eigen::Matrix4d through_bond(const Bond &bond) const
  {
    const double k_n = bond.normal_stiffness / scale, k_t = bond.shear_stiffness / scale, pt = p * bond.thickness;
    Eigen::Matrix4d J = Eigen::Matrix4d::Identity();
    J(3, 2) = pt;
    J(1, 3) = 1. / k_n; // w+ = w- + peel / k_n, peel = Z- + p t T / 2
    J(1, 2) = pt / 2. / k_n;
    // u+ = u- + tau / k_t - p t (w+ + w-)/2
    J(0, 1) = -pt;
    J(0, 2) = 1. / k_t - pt / 2. * J(1, 2);
    J(0, 3) = -pt / 2. * J(1, 3);
    return J;
  }
};
} // namespace limbwright::checks
