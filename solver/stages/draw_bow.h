#pragma once

#include "meshing/mesh/mesh_settings.h"
#include "solver/bow_description.h"
#include "solver/results.h"
#include "solver/stages/draw_path.h"

#include <filesystem>

namespace limbwright
{
class BowPattern;

/// The main job: meshes the bow, strings it, draws it, and judges every solved step. The draw curve is given at curve_draws [m]
/// (those between brace and the last draw reached) and at full draw. Field files of every snapshot go to fields_folder, which is
/// made when missing; empty: none are written.
/// pattern: in the side view, a bow to which it is alike, see there; null: none.
/// A stage that fails is a result. When *stop becomes true (on any rank) the bow is given up within an iteration of Newton's
/// method or the judging of one state: incomplete, and only the stage and stopped_reason are set.
/// Throws std::runtime_error when the bow cannot be meshed, CannotWriteFields.
DrawResults draw_bow(const BowDescription &bow, const MeshSettings &mesh_settings, const SolveSettings &solve_settings,
                     const std::vector<double> &curve_draws, const std::filesystem::path &fields_folder,
                     const std::function<void(const PathProgress &)> &progress, const std::atomic<bool> *stop,
                     const PathKeeping &keeping = {}, const BowPattern *pattern = nullptr);

/// Distance along the shot from the belly where each limb leaves the handle to its half of the string.
StringGaps string_gaps(const BowPath &bow_path, const State &state, double draw);
} // namespace limbwright
