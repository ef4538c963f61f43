#pragma once

#include "cases/reader/bow_keys.h"

namespace limbwright
{
/// Reads [limb], [upper] or [lower] without its glue. `half_length` [m] is what the bow's own length makes of the limb's, NaN
/// when it says nothing. Numbers that could not be read are NaN in what is returned, and have been complained about.
LimbDescription read_limb(const TomlView &view, const HandleInput &handle, double half_length);

/// Reads [glue] for a limb, one line fewer than its laminations; with glue.stack = "glued" takes the glue off the laminations.
void read_glue(const TomlView &document, const TomlView &limb_view, LimbDescription &limb, bool &stack_includes_glue);

/// Complains where a glue line is told to part and what that takes is not known, or makes no sense.
void check_parting(const TomlView &document, const LimbDescription &limb, const std::map<std::string, Material> &materials,
                   const std::map<std::string, Adhesive> &adhesives);
} // namespace limbwright
