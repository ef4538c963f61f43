#include "materials/bond_strength.h"

#include <algorithm>
#include <cmath>

namespace limbwright
{
const Adhesive &no_adhesive()
{
  static const Adhesive none = []
  {
    Adhesive adhesive;
    adhesive.tensile_strength = adhesive.shear_strength = std::numeric_limits<double>::infinity();
    adhesive.fracture_energy_I = adhesive.fracture_energy_II = std::numeric_limits<double>::infinity();
    return adhesive;
  }();
  return none;
}

const Adhesive &adhesive_called(const std::map<std::string, Adhesive> &adhesives, const std::string &name)
{
  const auto found = adhesives.find(name);
  return found == adhesives.end() ? no_adhesive() : found->second;
}

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

CohesiveBond parting_bond(const Adhesive &adhesive, const Material &belly_side, RingOrientation belly_ring,
                          const Material &back_side, RingOrientation back_ring)
{
  const BondStrength strength = bond_strength(adhesive, belly_side, belly_ring, back_side, back_ring);
  const BondToughness toughness = bond_toughness(adhesive, belly_side, back_side);
  CohesiveBond bond;
  bond.normal_strength = strength.peel;
  bond.shear_strength = strength.shear;
  bond.fracture_energy_I = toughness.opening;
  bond.fracture_energy_II = toughness.sliding;
  bond.mixed_mode_exponent = mixed_mode_exponent(adhesive);
  return bond;
}

double process_zone_length(const CohesiveBond &bond, double sliding_share, double modulus, double thickness)
{
  const bool slides = sliding_share > 0.5;
  const double infinite = slides ? modulus * bond.fracture_energy_II / std::pow(bond.shear_strength, 2)
                                 : modulus * bond.fracture_energy_I / std::pow(bond.normal_strength, 2);
  const double slender = slides ? std::sqrt(infinite * thickness) : std::pow(infinite, 0.25) * std::pow(thickness, 0.75);
  return std::min(infinite, slender);
}

double mixed_mode_exponent(const Adhesive &adhesive)
{
  const auto own = adhesive.further.find("mixed_mode_exponent");
  return own == adhesive.further.end() ? CohesiveBond::default_mixed_mode_exponent : own->second;
}
} // namespace limbwright
