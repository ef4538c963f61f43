#pragma once

#include "materials/material.h"

#include <vector>

namespace limbwright
{
/// How a property of clear wood scatters from piece to piece of a species.
struct WoodVariation
{
  double deviation = 0.;    //!< [1] coefficient of variation
  double with_modulus = 0.; //!< [1] correlation with the modulus of elasticity of the same piece
};

/// Coefficients of variation: Wood Handbook (Kretschmann 2010, FPL-GTR-190), Table 5-6; that of tension across the grain, which
/// the table has none of, as along the grain.
///
/// Correlations: JCSS Probabilistic Model Code, part 3, properties of timber (2006), matrix of correlation coefficients, row E_m:
/// quantified by judgment (COST E24), for graded softwood with its knots. Of clear wood the bending strength of Eucalyptus
/// grandis correlates with the dynamic modulus by .75 and .81 (Hein and Brancheriau 2018, Maderas Ciencia y tecnologia 20:333, R2
/// of .57 and .65), which the .8 here agrees with.
namespace wood_variation
{
inline constexpr double modulus = .22, density = .10; //!< [1] coefficients of variation
inline constexpr WoodVariation bending{.16, .8}, compression{.18, .6}, tension{.25, .6}, shear{.14, .4},
    compression_across{.28, .4}, tension_across{.25, .4};
} // namespace wood_variation

/// Strengths of a wood that scatter alike.
struct VaryingStrengths
{
  WoodVariation variation;
  std::vector<double *> values;
};

/// All strengths of a material, the falling branch and floor of its crushing with compression along the grain.
std::vector<VaryingStrengths> varying_strengths(Material &material);

/// What a strength of a piece is over that of its species [1]: 1 + deviation (r e + sqrt(1 - r2) z), the Cholesky factor of two
/// correlated normal variables, with e how far the piece's modulus is off its species', in deviations of the species, r the
/// correlation, z a normal deviate that is the piece's own and the same for all its strengths; at least least_strength.
double strength_over_species(const WoodVariation &variation, double modulus_deviates, double own_deviates);
inline constexpr double least_strength = .05; //!< [1] a normal distribution goes on below nothing
} // namespace limbwright
