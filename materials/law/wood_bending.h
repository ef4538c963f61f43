#pragma once

namespace limbwright
{
/// Set index: belly strain (compressive, positive) over the strain at which the wood crushes in the standard test, f_c / E_L.
double set_index(double belly_strain, double compression_L, double E_L);

/// Belly strain at which a rectangular bar of the bilinear law (elastic-perfectly plastic in compression, elastic to tension_L in
/// tension) reaches its bending strength: (f_c/E_L)(r^2+1)/2, r = X_T/f_c (Norris 1962 form, FPL 2255; derived in the function).
double crushing_strain(double compression_L, double tension_L, double E_L);

/// Crushing index: belly strain over crushing_strain(). An index of this program.
double crushing_index(double belly_strain, double compression_L, double tension_L, double E_L);

/// Apparent bending strength (modulus of rupture) of that bar: f_c (3r-1)/(r+1).
double apparent_modulus_of_rupture(double compression_L, double tension_L);

/// Hankinson 1921 with exponent n: P Q / (P sin^n + Q cos^n); strengths [Pa], angle to the grain [rad].
double hankinson(double along, double across, double angle, double exponent);
} // namespace limbwright
