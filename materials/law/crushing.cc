#include "materials/law/crushing.h"

#include "materials/law/piola_crushing.h"

#include <algorithm>
#include <cmath>

namespace limbwright
{
namespace
{
bool falls(const CrushingLaw &law, const double plastic_strain)
{
  return law.falling > 0. && plastic_strain > law.fall_from;
}

double hardened(const CrushingLaw &law, const double plastic_strain)
{
  const double rise = law.strength - law.yield;
  return rise > 0. ? law.yield - rise * std::expm1(-plastic_strain / law.hardening_strain) : law.yield;
}

double work_of_hardening(const CrushingLaw &law, const double plastic_strain)
{
  const double rise = law.strength - law.yield;
  const double short_of_plateau =
      rise > 0. ? -rise * law.hardening_strain * std::expm1(-plastic_strain / law.hardening_strain) : 0.;
  return law.strength * plastic_strain - short_of_plateau;
}
} // namespace

double flow_stress(const CrushingLaw &law, const double plastic_strain)
{
  if (!falls(law, plastic_strain))
    return hardened(law, plastic_strain);
  const double top = hardened(law, law.fall_from);
  return std::max(std::min(top, law.floor), top - law.falling * (plastic_strain - law.fall_from));
}

double flow_stress_slope(const CrushingLaw &law, const double plastic_strain)
{
  if (falls(law, plastic_strain))
    return flow_stress(law, plastic_strain) > law.floor ? -law.falling : 0.;
  const double rise = law.strength - law.yield;
  return rise > 0. ? rise / law.hardening_strain * std::exp(-plastic_strain / law.hardening_strain) : 0.;
}

double dissipated(const CrushingLaw &law, const double plastic_strain)
{
  if (!falls(law, plastic_strain))
    return work_of_hardening(law, plastic_strain);
  const double top = hardened(law, law.fall_from);
  const double beyond = plastic_strain - law.fall_from;
  const double fall_length = std::min(beyond, std::max(0., top - law.floor) / law.falling);
  return work_of_hardening(law, law.fall_from) + fall_length * (top - .5 * law.falling * fall_length) +
         (beyond - fall_length) * std::min(top, law.floor);
}

namespace
{
// The excess over the flow stress falls all along the bracket, for the flow stress cannot fall faster than C_LL a grows: one
// root. A Newton step that leaves the bracket becomes a bisection. flow: stress and slope at a shortening.
template <class Flow>
double root_of_excess(const double C_LL, const double elastic_stress, const double before, const Flow &flow)
{
  const auto excess = [&](const double a) { return elastic_stress - C_LL * a - flow(a).stress; };
  double a = before;
  if (excess(a) <= 0.)
    return before;
  double low = before, high = elastic_stress / C_LL;
  for (int i = 0; i < 60; ++i)
  {
    const double here = excess(a);
    if (std::abs(here) <= 1e-14 * elastic_stress)
      break;
    (here > 0. ? low : high) = a;
    const double next = a + here / (C_LL + flow(a).slope);
    a = next > low && next < high ? next : .5 * (low + high);
  }
  return a;
}
} // namespace

double plastic_strain_after(const CrushingLaw &law, const double C_LL, const double elastic_stress, const double before)
{
  const auto flow = [&](const double b) { return PiolaFlow{flow_stress(law, b), flow_stress_slope(law, b)}; };
  return root_of_excess(C_LL, elastic_stress, before, flow);
}

FibreStress crush_fibre(const CrushingLaw &law, const double modulus, const double strain, const double plastic_strain_before)
{
  const double a =
      root_of_excess(modulus, -modulus * strain, plastic_strain_before, [&](const double at) { return piola_flow(law, at); });
  const double slope = a > plastic_strain_before ? piola_flow(law, a).slope : 0.;
  return {modulus * (strain + a), a > plastic_strain_before ? modulus * slope / (modulus + slope) : modulus, a};
}

template <int n>
CrushedStress<n> crush(const CrushingLaw &law, const Eigen::Matrix<double, n, n> &stiffness,
                       const std::type_identity_t<Eigen::Matrix<double, n, 1>> &strain, const double plastic_strain_before)
{
  CrushedStress<n> result{stiffness * strain, stiffness, plastic_strain_before};
  const double C_LL = stiffness(0, 0);
  double &a = result.plastic_strain;
  a = root_of_excess(C_LL, -result.stress[0], plastic_strain_before, [&](const double at) { return piola_flow(law, at); });
  if (a > plastic_strain_before)
    result.tangent -= stiffness.col(0) * stiffness.col(0).transpose() / (C_LL + piola_flow(law, a).slope);
  if (a > 0.)
    result.stress += a * stiffness.col(0);
  return result;
}

template CrushedStress<3> crush(const CrushingLaw &, const Eigen::Matrix<double, 3, 3> &, const Eigen::Matrix<double, 3, 1> &,
                                double);
template CrushedStress<6> crush(const CrushingLaw &, const Eigen::Matrix<double, 6, 6> &, const Eigen::Matrix<double, 6, 1> &,
                                double);
} // namespace limbwright
