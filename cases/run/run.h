#pragma once

#include "cases/reader/case.h"
#include "cases/run/progress.h"
#include "solver/results.h"
#include "solver/stages/draw_path.h"

#include <atomic>
#include <filesystem>

namespace limbwright
{
/// Strings the bow and draws it. Field files go to fields_dir (made when missing; empty: none are written). The listener may be
/// empty. When *stop becomes true the run ends soon, incomplete and without results; keeping has what was reached.
/// keeping: what the path leaves behind, and where it is taken up again.
/// A stage that does not converge is a result (complete == false), not an exception.
DrawResults run_draw(const Case &bow_case, const std::filesystem::path &fields_dir, const ProgressListener &listener,
                     const std::atomic<bool> *stop, const PathKeeping &keeping = {});
} // namespace limbwright
