#include "materials/bond_strength.h"

#include <algorithm>

namespace limbwright
{
BondStrength bond_strength(const Adhesive &adhesive, const Material &belly_side, RingOrientation belly_ring,
                           const Material &back_side, RingOrientation back_ring)
{
  BondStrength bond{adhesive.tensile_strength, adhesive.shear_strength};
  for (const auto &[material, ring] : {std::pair{&belly_side, belly_ring}, std::pair{&back_side, back_ring}})
  {
    const double peel = tension_through_thickness(*material, ring), shear = shear_in_side_view(*material, ring);
    if (peel < bond.peel) // false for an unknown strength
    {
      bond.peel = peel;
      bond.peel_by_lamination = true;
    }
    if (shear < bond.shear)
    {
      bond.shear = shear;
      bond.shear_by_lamination = true;
    }
  }
  return bond;
}

BondToughness bond_toughness(const Adhesive &adhesive, const Material &belly_side, const Material &back_side)
{
  BondToughness bond{adhesive.fracture_energy_I, adhesive.fracture_energy_II};
  for (const Material *material : {&belly_side, &back_side})
  {
    const auto cap = [&](double &energy, const char *key, double of_wood)
    {
      const auto own = material->further.find(key);
      if (own != material->further.end())
        energy = std::min(energy, own->second); // stays unknown where the adhesive's is
      else if (material->kind == MaterialKind::wood)
        energy = std::min(energy, of_wood);
    };
    cap(bond.opening, "fracture_energy_I", wood_fracture_energy.opening);
    cap(bond.sliding, "fracture_energy_II", wood_fracture_energy.sliding);
  }
  return bond;
}

double mixed_mode_exponent(const Adhesive &adhesive)
{
  const auto own = adhesive.further.find("mixed_mode_exponent");
  return own == adhesive.further.end() ? CohesiveBond::default_mixed_mode_exponent : own->second;
}
} // namespace limbwright
