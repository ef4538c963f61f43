#pragma once

#include <Eigen/Core>

#include <string>

namespace limbwright
{
/// A bond that softens once its strength is reached and parts when its fracture energy is spent: bilinear traction against
/// separation, in opening and in sliding together.
///
/// Energy norm of the separation: lambda^2 = K_n <d_n>^2 + K_s d_s^2; share of sliding: B = K_s d_s^2 / lambda^2, at a fixed mix
/// also the share G_II / G of the energy release, whatever the two stiffnesses are.
///   onset   lambda_0(B): (t_n/N)^2 + (t_s/S)^2 = 1                     (Brewer and Lagace 1988)
///   energy  G_c(B) = G_Ic + (G_IIc - G_Ic) B^eta                       (Benzeggagh and Kenane 1996)
///   end     lambda_f(B) = 2 G_c / lambda_0
/// State: the fraction r of the fracture energy that is spent, and the brittleness k = lambda_0 / lambda_f of the mix at which
/// the bond began to soften, kept from then on. Damage D = r / (k + r (1 - k)), tractions (1 - D) K d, stored energy (1 - D)
/// lambda^2 / 2; it grows where lambda = sqrt(2 G_c(B) / k) (k + r (1 - k)). Then what is spent, lambda^2/2 dD, equals G_c(B) dr:
/// along every path of mixes the bond takes the integral of G_c over r from 0 to 1, and unloading gives back exactly what is
/// stored. At a constant mix this is the bilinear law. (The algebra is our own.) After the mix has changed it is the energy that
/// is met, and the strength in so far as it follows sqrt(G_c).
///
/// Closed, the faces press on each other with the full normal stiffness, damaged or not, without friction.
struct CohesiveBond
{
  double normal_stiffness = 0.;                             //!< [Pa/m] K_n
  double shear_stiffness = 0.;                              //!< [Pa/m] K_s
  double normal_strength = 0.;                              //!< [Pa] N
  double shear_strength = 0.;                               //!< [Pa] S
  double fracture_energy_I = 0.;                            //!< [J/m2] opening
  double fracture_energy_II = 0.;                           //!< [J/m2] sliding
  double mixed_mode_exponent = default_mixed_mode_exponent; //!< [1] eta

  /// Of a carbon-epoxy laminate, IM7/8552 (Krueger 2012, NASA/CR-2012-217562, quoted at second hand): 2.1. None is known to us
  /// for a wood adhesive.
  static constexpr double default_mixed_mode_exponent = 2.1;
};

/// The same bond where only this share of the area holds: strengths and energies times share, between 0 (excluded) and 1. The
/// stiffness stays.
CohesiveBond weakened(CohesiveBond bond, double share);

/// What of a bond makes no sense, as a sentence with its numbers; empty when sound. A bond must not break before it softens:
/// lambda_0^2 < 2 G_c at every mix, N^2 / K_n < 2 G_Ic and S^2 / K_s < 2 G_IIc among them.
std::string unsound(const CohesiveBond &bond);

/// What a point of a bond remembers.
struct CohesiveState
{
  double fraction = 0.;    //!< [1] of the fracture energy spent: 0 whole, 1 parted
  double brittleness = 0.; //!< [1] lambda_0 / lambda_f of the mix at onset; 0 while whole
  double norm = 0.;        //!< [sqrt(J/m2)] lambda
  double spent = 0.;       //!< [J/m2] on fracture so far: the integral of G_c over the fraction
  double delayed = 0.;     //!< [J/m2] taken beyond that, by a delay of growth or a step that overran the law

  /// A bond that was never made or has parted.
  static CohesiveState parted() { return {1., 1., 0., 0., 0.}; }
};

double damage(const CohesiveState &state); //!< [1] D

struct CohesiveResponse
{
  Eigen::Vector2d traction; //!< [Pa] normal (positive opening), shear
  Eigen::Matrix2d tangent;  //!< [Pa/m] d traction / d (opening, slip); exact, not symmetric while the mix changes
  CohesiveState state;      //!< at the end of the step
};

/// A step from the state before to the separation now [m]; opening negative where the faces press on each other.
///
/// relaxation in (0, 1]: 1 is the law as it stands. Below 1 growth is delayed (Duvaut and Lions 1972): the fraction goes only
/// this share of the way to the one the law asks for, which is backward Euler for d r/d time = (r_law - r)/T with relaxation =
/// h/(T + h), h the step in time. The energy the delay takes is told apart.
CohesiveResponse cohesive_step(const CohesiveBond &bond, const CohesiveState &before, double opening, double slip,
                               double relaxation = 1.);

/// [J/m2] stored at a separation, pressing faces included.
double stored_energy(const CohesiveBond &bond, const CohesiveState &state, double opening, double slip);

/// [J/m2] G_c at a share B of sliding, 0 opening to 1 sliding.
double fracture_energy(const CohesiveBond &bond, double sliding_share);
} // namespace limbwright
