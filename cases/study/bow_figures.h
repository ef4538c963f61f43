#pragma once

#include "cases/reader/case.h"
#include "cases/report/verdict.h"
#include "solver/results.h"

namespace limbwright
{
/// A bow in one line, to set it beside others. SI; not known: NaN. Indices are those of its verdict_of(), of the worse limb.
struct BowFigures
{
  Verdict::Level level = Verdict::Level::not_finished;
  double weight = not_known;        //!< [N]
  double stack = not_known;         //!< [m] glue included, half way from the root to the tip; upper limb
  double belly_index = not_known;   //!< [1] Verdict::belly
  double back_index = not_known;    //!< [1] Verdict::back
  double core_index = not_known;    //!< [1] Verdict::core
  double glue_index = not_known;    //!< [1] Verdict::glue
  double worst_index = not_known;   //!< [1] of all places told
  double belly_strain = not_known;  //!< [1] largest shortening along the grain of any face
  double back_strain = not_known;   //!< [1] largest stretch
  double core_strain = not_known;   //!< [1] largest shortening in laminations that are neither the first nor the last
  double glue_shear = not_known;    //!< [Pa] largest averaged shear in the glue away from ends
  double set = not_known;           //!< [m] of the nocks after one draw, the limbs' mean
  double mass = not_known;          //!< [kg] of both limbs
  double outer_mass = not_known;    //!< [kg] of the outer 8 in of one limb, to its tip; upper limb
  double energy = not_known;        //!< [J]
  double rise = not_known;          //!< [N/m] at full draw
  double brace_tension = not_known; //!< [N]
  double tiller = not_known;        //!< [m] at full draw, upper less lower; not known for like limbs

  /// Back over belly index: above one the back works nearer to its limit. [1]
  double balance() const { return back_index / belly_index; }
};

BowFigures figures_of(const Case &bow_case, const DrawResults &results);
} // namespace limbwright
