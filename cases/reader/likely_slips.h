#pragma once

#include "cases/reader/bow_keys.h"

namespace limbwright
{
/// Warnings about what could be built but looks like a slip of the pen: a wrong unit, a turned sign, layers in the wrong order.
/// The bounds are ours. Passes over what could not be read.
void warn_of_slips(const TomlView &document, const TomlView &limb_view, const HandleInput &handle, const BowDescription &bow,
                   const LimbDescription &limb);
} // namespace limbwright
