#pragma once

#include "cases/reader/case.h"
#include "solver/results.h"

#include <filesystem>

namespace limbwright
{
/// The layout below, counted up whenever a file of before could no longer be read, or would be misread.
inline constexpr int results_format = 2;

/// Writes results.h5: everything a report needs, in SI with units as attributes.
///   /                 case, title, convention, program, complete, failed_stage, reason (attributes)
///   /format           results_format
///   /case/resolved    the case as it was run
///   /summary          one data set per number, by the keys of summary.json
///   /draw_curve       by inch of draw
///   /steps/NNN        every solved state: point, and faces, glue, sections of each limb, and its worst places
///   /layers/LIMB      extremes of every lamination over the run
///   /worst            worst places at the last draw reached
///   /solve            sizes, iterations, seconds
/// Throws CannotWrite.
void write_results_file(const std::filesystem::path &path, const Case &bow_case, const DrawResults &results);
} // namespace limbwright
