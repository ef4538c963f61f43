#pragma once

#include "cases/reader/case.h"
#include "cases/report/table.h"
#include "cases/study/defect_bounds.h"

#include <atomic>
#include <optional>
#include <string>
#include <vector>

namespace limbwright
{
/// What a lamination or a glue line bears at one inch of the limb, at full draw, before the index told to people passes the level
/// that was chosen. Whatever does not apply, or is not limited, is not known.
struct InchMargin
{
  LimbName limb = LimbName::upper; //!< of like limbs both
  double station = 0.;             //!< [m]
  int lamination = -1, glue_line = -1, back_lamination = -1;
  double index = 0.;             //!< [1] as it is
  double run_out = not_known;    //!< [rad] largest further slope of the grain; wood and bamboo
  double knot_share = not_known; //!< [1] largest share of the lamination's width that a knot may take; wood and bamboo
  double knot = not_known;       //!< [m] the same as a length across the limb
  double hole_share = not_known; //!< [1] the same of a hole up to which the grain runs straight, as a bored one or a worm's
  double hole = not_known;       //!< [m]
  double patch = not_known;      //!< [m] longest open patch, over the whole width
  bool lifts = false;            //!< it is limited by the loose layer that lifts off as it is pressed, else by sliding
  double bond = not_known;       //!< [1] least share of its strength that the glue must have
};

struct MarginMap
{
  bool complete = false;
  std::string reason; //!< why not
  double level = 0.;
  std::vector<InchMargin> inches; //!< by limb, layer belly to back, station
};

/// How far the faces of an open patch are taken to stand apart in its middle [m]: as glue.patch.gap where it is not given.
inline constexpr double usual_gap = 0.005 * 0.0254;

/// From one drawn bow, without the flaws that the case has, by the bounds of defect_bounds.h. Each inch takes the worst within
/// half an inch; ends of laminations, the handle and the nock are left out, where stresses are a matter of the cut and not of the
/// piece.
MarginMap margin_map(const Case &bow_case, double level, const std::atomic<bool> *stop);

Table margin_table(const Case &bow_case, const MarginMap &map);
std::string margin_words(const Case &bow_case, const MarginMap &map);
} // namespace limbwright
