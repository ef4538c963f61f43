#pragma once

#include <Eigen/Core>

#include <type_traits>

namespace limbwright
{
/// How wood yields in compression along the grain: elastic to `yield`, then hardening along an exponential curve (Voce 1948, from
/// memory) to the crushing strength, where it stays unless a falling branch is given. Tension stays elastic. Curves as a test of
/// a short block gives them: load over the first area, by the plastic shortening b >= 0 [1] as a share of the first length.
struct CrushingLaw
{
  double yield = 0.;    //!< [Pa] proportional limit in compression
  double strength = 0.; //!< [Pa] crushing plateau, >= yield
  double hardening_strain =
      0.;                //!< [1] flow stress yield + (strength - yield)(1 - exp(-b/hardening_strain)); unused when both equal
  double falling = 0.;   //!< [Pa] fall of the flow stress per unit plastic strain after fall_from; less than C_LL; 0: none
  double fall_from = 0.; //!< [1] plastic strain where hardening ends and the fall begins
  double floor = 0.;     //!< [Pa] the flow stress falls to this and no further
};

/// Stress [Pa] at which the wood goes on yielding after plastic shortening `plastic_strain` [1].
double flow_stress(const CrushingLaw &law, double plastic_strain);

/// Derivative of flow_stress() [Pa].
double flow_stress_slope(const CrushingLaw &law, double plastic_strain);

/// Work of crushing [J/m3]: the integral of the flow stress from 0 to plastic_strain [1].
double dissipated(const CrushingLaw &law, double plastic_strain);

/// Plastic shortening of a fibre after a step, small strains [1]: the b >= before at which elastic_stress - C_LL b does not
/// exceed the flow stress. C_LL [Pa], in a bar E_L; elastic_stress [Pa]: pressure there would be had the wood never crushed.
double plastic_strain_after(const CrushingLaw &law, double C_LL, double elastic_stress, double before);

/// A fibre that is free across the grain.
struct FibreStress
{
  double stress;         //!< [Pa]
  double tangent;        //!< [Pa] derivative of the stress by the strain, consistent with the step
  double plastic_strain; //!< [1] shortening a, >= the one before; a as in piola_crushing.h
};

/// One step of a fibre: crush() under a strain [1] along the grain alone. modulus [Pa].
FibreStress crush_fibre(const CrushingLaw &law, double modulus, double strain, double plastic_strain_before);

/// n: number of strains, 3 in the side view, 6 in a solid.
template <int n>
struct CrushedStress
{
  Eigen::Matrix<double, n, 1> stress;  //!< [Pa] order of the given stiffness, L first
  Eigen::Matrix<double, n, n> tangent; //!< [Pa] derivative of the stress by the strain, consistent with the step
  double plastic_strain;               //!< [1] shortening a, >= the one before; a as in piola_crushing.h
};

/// One step at a point: stress C (strain + a e_L) with the plastic shortening a that satisfies -S_L <= piola_flow(a), no smaller
/// than plastic_strain_before. Plastic strain is along the grain only: no lateral plastic strain is known for wood cells that
/// collapse. stiffness [Pa] (plane_stiffness() or solid_stiffness(): L first), strain [1], total. n: 3 or 6.
template <int n>
CrushedStress<n> crush(const CrushingLaw &law, const Eigen::Matrix<double, n, n> &stiffness,
                       const std::type_identity_t<Eigen::Matrix<double, n, 1>> &strain, double plastic_strain_before);
} // namespace limbwright
