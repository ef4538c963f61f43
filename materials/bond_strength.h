#pragma once

#include "materials/law/cohesive.h"
#include "materials/material.h"

namespace limbwright
{
/// Strengths of a bond: the adhesive's, capped by those of the two laminations it holds (a bond line in wood fails in the wood).
struct BondStrength
{
  double peel, shear;                                           //!< [Pa]
  bool peel_by_lamination = false, shear_by_lamination = false; //!< the cap rules
};

BondStrength bond_strength(const Adhesive &adhesive, const Material &belly_side, RingOrientation belly_ring,
                           const Material &back_side, RingOrientation back_ring);

/// Fracture energies of a bond [J/m2], opening and sliding: the adhesive's, capped by those of the two laminations where the
/// library gives them ("fracture_energy_I", "fracture_energy_II"); of a wood without them by wood_fracture_energy.
struct BondToughness
{
  double opening, sliding;
};

BondToughness bond_toughness(const Adhesive &adhesive, const Material &belly_side, const Material &back_side);

/// What a crack along the grain, in the wood beside the glue, may be counted on to take [J/m2]. Judgement, no source: measured
/// plateaus lie at 150 to 500 opening, and about three times that sliding.
inline constexpr BondToughness wood_fracture_energy{300., 1000.};

/// The exponent of mixed modes: the adhesive's "mixed_mode_exponent" where it has one, else the default of CohesiveBond.
double mixed_mode_exponent(const Adhesive &adhesive);
} // namespace limbwright
