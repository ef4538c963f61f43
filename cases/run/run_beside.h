#pragma once

#include "cases/run/run.h"

namespace limbwright
{
/// Whether a bow with flaws is to be drawn without them as well, which takes about the same time again.
bool draws_beside(const Case &bow_case);

/// Strings and draws the bow as run_draw() does, then, where draws_beside(), the same bow without its flaws, and as found where
/// it was mended, and lays each side by side in DrawResults::flaw_costs. Fields of the bow beside go to a folder below
/// fields_dir, named after what it is, and what the flaws change at the last draw to files of their own there. A bow that was not
/// drawn is not compared. keeping: of the bow as described.
DrawResults run_draw_beside(const Case &bow_case, const std::filesystem::path &fields_dir, const ProgressListener &listener,
                            const std::atomic<bool> *stop, const PathKeeping &keeping = {});
} // namespace limbwright
