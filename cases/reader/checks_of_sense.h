#pragma once

#include "cases/reader/bow_keys.h"

namespace limbwright
{
// Checks that need more than one key: what is written is sound by itself, but can there be such a bow? Each passes over what
// could not be read.

/// Stations, ends and thicknesses of one limb; curvature against depth.
void check_limb(const TomlView &view, const LimbDescription &limb);

/// Whatever else keeps the limb from being built (LimbShape says it); after the other checks, on a limb without errors.
void check_shape(const TomlView &view, const LimbDescription &limb);

/// Brace height and draw against each other and against what the limb can reach.
void check_draw(const TomlView &document, const TomlView &limb_view, const BowDescription &bow, const LimbDescription &limb);
} // namespace limbwright
