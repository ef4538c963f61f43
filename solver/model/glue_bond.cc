#include "solver/model/glue_bond.h"

namespace limbwright
{
BondStiffness GlueBond::stiffness(const double station, const double thickness) const
{
  const double in_shape = weak != nullptr && weak->filled() ? weak->gap_at(station) : 0.;
  const auto of = [&](const Adhesive &adhesive, const double filling)
  {
    if (glue.thickness > 0.)
    {
      const double whole = thickness - in_shape + filling;
      return BondStiffness{adhesive.youngs_modulus / whole, adhesive.shear_modulus / whole};
    }
    if (filling <= 0.)
      return BondStiffness{glue.bond_stiffness, glue.bond_stiffness};
    return BondStiffness{1. / (1. / glue.bond_stiffness + filling / adhesive.youngs_modulus),
                         1. / (1. / glue.bond_stiffness + filling / adhesive.shear_modulus)};
  };
  const BondStiffness line = of(of_line(), 0.);
  if (weak == nullptr || !weak->filled())
    return line;
  const BondStiffness patch = of(of_patch(), weak->filling_at(station));
  return {(1. - share) * line.normal + share * patch.normal, (1. - share) * line.shear + share * patch.shear};
}

BondStrength GlueBond::strength(const Material &belly, const RingOrientation belly_ring, const Material &back,
                                const RingOrientation back_ring) const
{
  const BondStrength line = bond_strength(of_line(), belly, belly_ring, back, back_ring);
  if (weak == nullptr)
    return line;
  BondStrength bond = bond_strength(of_patch(), belly, belly_ring, back, back_ring);
  bond.peel = mixed(line.peel, bond.peel);
  bond.shear = mixed(line.shear, bond.shear);
  return bond;
}

CohesiveBond GlueBond::parting(const Material &belly, const RingOrientation belly_ring, const Material &back,
                               const RingOrientation back_ring) const
{
  const CohesiveBond line = parting_bond(of_line(), belly, belly_ring, back, back_ring);
  if (weak == nullptr)
    return line;
  CohesiveBond bond = parting_bond(of_patch(), belly, belly_ring, back, back_ring);
  bond.normal_strength = mixed(line.normal_strength, bond.normal_strength);
  bond.shear_strength = mixed(line.shear_strength, bond.shear_strength);
  bond.fracture_energy_I = mixed(line.fracture_energy_I, bond.fracture_energy_I);
  bond.fracture_energy_II = mixed(line.fracture_energy_II, bond.fracture_energy_II);
  return bond;
}
} // namespace limbwright
