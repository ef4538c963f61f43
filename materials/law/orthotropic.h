#pragma once

#include <Eigen/Core>

#include <string>
#include <vector>

namespace limbwright
{
/// The nine constants of an orthotropic solid. Axes: L along the grain (or fibre), R radial (pith to bark), T tangential.
/// nu_ij is minus the strain along j over the strain along i under a stress along i (first index: the stress), as in the
/// Wood Handbook (Senalik and Farber 2021, FPL-GTR-282, ch. 5).
struct OrthotropicConstants
{
  double E_L;   //!< [Pa]
  double E_R;   //!< [Pa]
  double E_T;   //!< [Pa]
  double G_LR;  //!< [Pa]
  double G_LT;  //!< [Pa]
  double G_RT;  //!< [Pa]
  double nu_LR; //!< [1]
  double nu_LT; //!< [1]
  double nu_RT; //!< [1]
};

using Matrix3 = Eigen::Matrix3d;
using Matrix6 = Eigen::Matrix<double, 6, 6>;

/// Which annual-ring direction runs through the thickness of a lamination.
enum class RingOrientation
{
  flat, //!< flat-sawn: R through the thickness, T across the width
  edge  //!< edge-grain: T through the thickness, R across the width
};

/// What is assumed of the width direction in a side view.
enum class PlaneState
{
  stress, //!< no stress across the width
  strain  //!< no strain across the width
};

/// Compliance [1/Pa], order LL RR TT RT LT LR, engineering shear strains (Wood Handbook 2021, ch. 5; symmetric by construction:
/// nu_RL = nu_LR E_R / E_L and so on).
Matrix6 compliance(const OrthotropicConstants &constants);

/// Stiffness [Pa], the inverse of compliance(), same order.
Matrix6 stiffness(const OrthotropicConstants &constants);

/// The conditions of a positive definite stiffness that are not met, each as a sentence with its numbers; empty when sound.
/// (Lempriere 1968: moduli positive, |nu_ij| < sqrt(E_i/E_j), and the determinant condition.)
std::vector<std::string> violated_conditions(const OrthotropicConstants &constants);

/// Stiffness in the side view [Pa]: order L (along the grain), N (through the thickness), LN (engineering shear).
Matrix3 plane_stiffness(const OrthotropicConstants &constants, RingOrientation ring, PlaneState state);

/// Stiffness of a solid [Pa]: order L, N (through the thickness), W (across the width), NW, LW, LN (engineering shear).
Matrix6 solid_stiffness(const OrthotropicConstants &constants, RingOrientation ring);

/// Young's modulus [Pa] at angle to the grain [rad] in the plane of L and the second axis; E_1, E_2, G_12 [Pa], nu_12 [1].
double off_axis_modulus(double E_1, double E_2, double G_12, double nu_12, double angle);
} // namespace limbwright
