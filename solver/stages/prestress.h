#pragma once

#include "solver/model/limb_model.h"

namespace limbwright
{
/// Makes the described shape the limb's shape at rest: the prestrain that the laminations were given is completed by the linear
/// strain of the displacement with which it is in balance, C : grad u = - C : prestrain in the weak sense. The stresses left
/// balance each other on every section, so that no displacement is an equilibrium of the nonlinear limb as well. Call it before
/// the wood may yield. (The superposition of Eshelby's eigenstrain problem; Mura 1987, Micromechanics of Defects in Solids,
/// sec. 1.)
/// Throws std::runtime_error where the limb's stiffness is singular.
void keep_described_shape(LimbModel &solid);
} // namespace limbwright
