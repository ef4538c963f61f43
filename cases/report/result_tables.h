#pragma once

#include "cases/reader/case.h"
#include "cases/report/table.h"
#include "solver/results.h"

namespace limbwright
{
// Tables in SI, for the results file.
Table draw_table(const std::vector<DrawPoint> &points);
/// One solved step: the same and where the string lies on the upper limb, which is not known between steps.
Table step_table(const DrawPoint &point);
Table face_table(const std::vector<FaceState> &faces);
Table glue_table(const std::vector<GlueState> &glue);
Table section_table(const std::vector<SectionState> &sections);
Table hot_spot_table(const Case &bow_case, const std::vector<HotSpot> &spots);
/// What happened on the way to full draw, one row for each event.
Table event_table(const std::vector<Event> &events);
Table sideways_table(const std::vector<SidewaysHold> &holds);
Table patch_end_table(const std::vector<PatchEnd> &ends);
/// One row for each flaw, without the worst places near it.
Table flaw_table(const std::vector<FlawDifference> &flaws);
/// One row for each draw of the bow that was let down again.
Table cycle_table(const std::vector<DrawCycle> &cycles);
/// One row per lamination of a limb: the largest and smallest strain and stress along the grain over all snapshots, where and at
/// which draw.
Table extreme_table(const Case &bow_case, const DrawResults &results, LimbName limb);

// Tables in the shop's units with metric beside, for spreadsheets.
Table draw_curve_sheet(const Case &bow_case, const DrawResults &results);
/// Every lamination face and glue line along the limb, at the last draw reached.
Table along_limb_sheet(const Case &bow_case, const DrawResults &results);
} // namespace limbwright
