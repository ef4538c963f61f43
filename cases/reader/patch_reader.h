#pragma once

#include "cases/reader/toml_view.h"
#include "meshing/shape/glue_stretches.h"

#include <vector>

namespace limbwright
{
/// What touches what in a limb. Nothing where something in the file has been complained about, or the limb has no shape, which
/// the checks of sense tell.
std::vector<GlueStretch> stretches_if_sound(const TomlView &document, const LimbDescription &limb);

/// Reads [[glue.patch]] into the glue lines of a limb, whose laminations have their last thickness. A patch lies where the two
/// laminations it names touch; an end of it between a lamination's stated end and where that is cut at its feather is moved to
/// the cut.
void read_patches(const TomlView &glue_view, const TomlView &limb_view, LimbDescription &limb);
} // namespace limbwright
