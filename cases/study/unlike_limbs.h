#pragma once

#include "cases/reader/case.h"

#include <string>

namespace limbwright
{
/// The case file of a bow whose limbs were given laminations and materials of their own: that of the case it was made from with
/// every default written out, its limbs as [upper] and [lower], thicknesses and materials those of `built`, whose limbs have the
/// same laminations. Materials that the case does not know are written by what they were made from, scaled; why: where their
/// moduli come from, in words.
std::string text_with_limbs_of(const Case &bow_case, const Case &built, const std::string &why);
} // namespace limbwright
