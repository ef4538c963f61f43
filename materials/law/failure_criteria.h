#pragma once

namespace limbwright
{
/// Plane stress state and strengths in grain axes, all strengths positive. 1 along the grain, 2 across it, 12 shear.
struct PlaneStress
{
  double s1, s2, s12; //!< [Pa]
};

struct PlaneStrengths
{
  double tension_1, compression_1, tension_2, compression_2, shear_12; //!< [Pa]
};

/// Every criterion returns the index: the reciprocal of the factor by which the stress may be multiplied until it fails
/// (1 at failure, homogeneous of degree one). A strength that is not known (NaN) gives NaN.
double maximum_stress_index(const PlaneStress &, const PlaneStrengths &);
/// Tsai and Wu 1971 with F12 = interaction sqrt(F11 F22); interaction -0.5 is the usual choice, 0 drops the term.
double tsai_wu_index(const PlaneStress &, const PlaneStrengths &, double interaction = -0.5);
/// Tsai-Hill (Azzi and Tsai 1965) with the strengths that match each stress's sign.
double tsai_hill_index(const PlaneStress &, const PlaneStrengths &);
/// Hoffman 1967, plane form.
double hoffman_index(const PlaneStress &, const PlaneStrengths &);
/// Hashin 1980, fibre and matrix modes, the largest.
double hashin_index(const PlaneStress &, const PlaneStrengths &);
/// Norris 1962 (FPL 1816), the largest of its three expressions.
double norris_index(const PlaneStress &, const PlaneStrengths &);
} // namespace limbwright
