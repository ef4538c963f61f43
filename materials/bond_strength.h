#pragma once

#include "materials/law/cohesive.h"
#include "materials/material.h"

namespace limbwright
{
/// What holds wood together that was never glued: the wood alone.
const Adhesive &no_adhesive();

/// The adhesive of this name; no_adhesive() where the name is empty or the table has none.
const Adhesive &adhesive_called(const std::map<std::string, Adhesive> &adhesives, const std::string &name);

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

/// The glue line as a bond that softens and parts, its stiffness left to the caller. Strengths and energies that are not known
/// stay so (NaN).
CohesiveBond parting_bond(const Adhesive &adhesive, const Material &belly_side, RingOrientation belly_ring,
                          const Material &back_side, RingOrientation back_ring);

/// Length ahead of a crack between layers in which the bond softens [m], the lesser of an infinite body's, E G_c / strength^2
/// (Hillerborg, Modeer and Petersson 1976), and a slender layer's, (E G_Ic / N^2)^(1/4) h^(3/4) opening and
/// (E G_IIc / S^2 h)^(1/2) sliding (Harper and Hallett 2008, Engng Fract. Mech. 75:4774; from memory); of the mode that has the
/// greater share. modulus: [Pa] of the layer that comes loose, along the grain; thickness: its own [m].
double process_zone_length(const CohesiveBond &bond, double sliding_share, double modulus, double thickness);

/// The exponent of mixed modes: the adhesive's "mixed_mode_exponent" where it has one, else the default of CohesiveBond.
double mixed_mode_exponent(const Adhesive &adhesive);
} // namespace limbwright
