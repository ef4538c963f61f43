#include "materials/law/orthotropic.h"

#include <Eigen/LU>

#include <array>
#include <cmath>
#include <sstream>

namespace limbwright
{
namespace
{
struct Named
{
  const char *name;
  double value;
};

std::string in_gigapascals(const Named &modulus)
{
  std::ostringstream text;
  text << modulus.name << " = " << modulus.value / 1e9 << " GPa";
  return text.str();
}

/// Appends the sentence of the pair condition |nu_ij| < sqrt(E_i/E_j) where it is broken.
void check_pair(const Named &nu, const Named &modulus_i, const Named &modulus_j, std::vector<std::string> &violated)
{
  const double limit = std::sqrt(modulus_i.value / modulus_j.value);
  if (std::abs(nu.value) < limit)
    return;
  std::ostringstream text;
  text << "|" << nu.name << "| must be less than sqrt(" << modulus_i.name << "/" << modulus_j.name << ") = " << limit
       << ", it is " << std::abs(nu.value);
  violated.push_back(text.str());
}
} // namespace

Matrix6 compliance(const OrthotropicConstants &constants)
{
  const auto &c = constants;
  Matrix6 s = Matrix6::Zero();
  s(0, 0) = 1. / c.E_L;
  s(1, 1) = 1. / c.E_R;
  s(2, 2) = 1. / c.E_T;
  s(0, 1) = s(1, 0) = -c.nu_LR / c.E_L;
  s(0, 2) = s(2, 0) = -c.nu_LT / c.E_L;
  s(1, 2) = s(2, 1) = -c.nu_RT / c.E_R;
  s(3, 3) = 1. / c.G_RT;
  s(4, 4) = 1. / c.G_LT;
  s(5, 5) = 1. / c.G_LR;
  return s;
}

Matrix6 stiffness(const OrthotropicConstants &constants)
{
  const Matrix6 s = compliance(constants);
  Matrix6 c = Matrix6::Zero();
  const Matrix3 normal = s.topLeftCorner<3, 3>().inverse();
  c.topLeftCorner<3, 3>() = 0.5 * (normal + normal.transpose()); // symmetric to the last bit
  for (int i = 3; i < 6; ++i)
    c(i, i) = 1. / s(i, i);
  return c;
}

std::vector<std::string> violated_conditions(const OrthotropicConstants &constants)
{
  const auto &c = constants;
  std::vector<std::string> violated;

  const std::array<Named, 6> moduli{
      {{"E_L", c.E_L}, {"E_R", c.E_R}, {"E_T", c.E_T}, {"G_LR", c.G_LR}, {"G_LT", c.G_LT}, {"G_RT", c.G_RT}}};
  for (const Named &modulus : moduli)
    if (!std::isfinite(modulus.value))
      violated.push_back(std::string(modulus.name) + " is not a finite number");
    else if (modulus.value <= 0.)
      violated.push_back(in_gigapascals(modulus) + " must be greater than zero");

  const Named nu_LR{"nu_LR", c.nu_LR}, nu_LT{"nu_LT", c.nu_LT}, nu_RT{"nu_RT", c.nu_RT};
  for (const Named &nu : {nu_LR, nu_LT, nu_RT})
    if (!std::isfinite(nu.value))
      violated.push_back(std::string(nu.name) + " is not a finite number");

  // Ratios of moduli mean nothing until every modulus is sound.
  if (!violated.empty())
    return violated;

  check_pair(nu_LR, moduli[0], moduli[1], violated);
  check_pair(nu_LT, moduli[0], moduli[2], violated);
  check_pair(nu_RT, moduli[1], moduli[2], violated);

  const double nu_RL = c.nu_LR * c.E_R / c.E_L;
  const double nu_TL = c.nu_LT * c.E_T / c.E_L;
  const double nu_TR = c.nu_RT * c.E_T / c.E_R;
  const double determinant = 1. - c.nu_LR * nu_RL - c.nu_RT * nu_TR - nu_TL * c.nu_LT - 2. * nu_RL * nu_TR * c.nu_LT;
  if (determinant <= 0.)
  {
    std::ostringstream text;
    text << "1 - nu_LR nu_RL - nu_RT nu_TR - nu_TL nu_LT - 2 nu_RL nu_TR nu_LT must be greater than zero, it is " << determinant;
    violated.push_back(text.str());
  }
  return violated;
}

Matrix3 plane_stiffness(const OrthotropicConstants &constants, RingOrientation ring, PlaneState state)
{
  const Matrix6 c = stiffness(constants);
  const bool flat = (ring == RingOrientation::flat);
  const int normal = flat ? 1 : 2;
  const int width = flat ? 2 : 1;
  const int shear = flat ? 5 : 4;

  const std::array<int, 3> kept{{0, normal, shear}};
  Matrix3 plane;
  for (int i = 0; i < 3; ++i)
    for (int j = 0; j < 3; ++j)
    {
      plane(i, j) = c(kept[i], kept[j]);
      if (state == PlaneState::stress)
        plane(i, j) -= c(kept[i], width) * c(width, kept[j]) / c(width, width);
    }
  return plane;
}

Matrix6 solid_stiffness(const OrthotropicConstants &constants, RingOrientation ring)
{
  const Matrix6 c = stiffness(constants); // L R T, RT LT LR: flat-sawn N = R and W = T
  if (ring == RingOrientation::flat)
    return c;
  Matrix6 turned;
  const std::array<int, 6> order{{0, 2, 1, 3, 5, 4}};
  for (int i = 0; i < 6; ++i)
    for (int j = 0; j < 6; ++j)
      turned(i, j) = c(order[i], order[j]);
  return turned;
}

double off_axis_modulus(double E_1, double E_2, double G_12, double nu_12, double angle)
{
  // Transformation of S_11 about the third axis, Jones 1999, Mechanics of Composite Materials, eq. 2.97 (from memory).
  const double cos2 = std::cos(angle) * std::cos(angle);
  const double sin2 = std::sin(angle) * std::sin(angle);
  return 1. / (cos2 * cos2 / E_1 + sin2 * sin2 / E_2 + (1. / G_12 - 2. * nu_12 / E_1) * cos2 * sin2);
}
} // namespace limbwright
