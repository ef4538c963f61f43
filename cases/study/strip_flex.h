#pragma once

#include "cases/reader/measured.h"
#include "materials/material.h"
#include "meshing/shape/limb_description.h"

namespace limbwright
{
/// How far a strip's middle goes down on two supports under its weight [m], were it of this material. Small deflections of a beam
/// that is flexible in shear (Timoshenko 1921; shear coefficient 5/6), its thickness varying: by the unit-load theorem. This is
/// what a flexing test measures, and no model of a limb.
double strip_deflection(const MeasuredStrip &strip, const LaminationDescription &lamination, const Material &material);

/// The modulus along the grain that the strip's deflection tells [Pa], its shear modulus to it as in the material.
double strip_modulus(const MeasuredStrip &strip, const LaminationDescription &lamination, const Material &material);
} // namespace limbwright
