#pragma once

#include "solver/bow_description.h"

namespace limbwright
{
/// How far a limb gives way by beam theory, for first guesses only: the integral over the limb of (lever to the nock)^2 / EI,
/// plane sections, glue without stiffness. [1/N/m] Its inverse rises and falls with the draw weight.
double bending_compliance(const LimbDescription &limb, const std::map<std::string, Material> &materials);
} // namespace limbwright
