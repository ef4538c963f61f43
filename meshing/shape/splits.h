#pragma once

#include "meshing/shape/limb_description.h"

#include <cstddef>
#include <vector>

namespace limbwright
{
/// Where a split comes out of its lamination: then it lifts a splinter.
enum class SplitExit
{
  none, //!< it stays inside
  back,
  belly
};

/// A crack along the grain of a lamination: a split, a shake, a drying check, or under a splinter. It is a plane, straight
/// against the face that its depth is told from, square to the side view unless it slants.
struct Split
{
  std::size_t lamination = 0;
  GluePatch patch;   //!< from where to where, and what is left of the wood's strength there, or of what fills it
  double depth = 0.; //!< [m] below the lamination's back face: in the middle of its length, of a splinter at its inner end
  double slope = 0.; //!< [rad] of one that stays inside, positive when it runs toward the back on its way to the tip
  double slant = 0.; //!< [rad] of one that stays inside, in a solid: see GlueLineDescription::slant; its depth is that in the
                     //!< middle of the width
  SplitExit comes_out = SplitExit::none;
  bool toward_tip = true; //!< it comes out at its end toward the tip; else at the one toward the handle
};

/// Stiffness of the bond between the pieces of a lamination where the wood is whole [Pa/m], opening and sliding: they give a
/// millionth of a millimetre at 1 MPa, some 10 000 times less than a lamination does through its thickness. A stiffer one would
/// lose figures, for the faces' places are known to 1e-16 of the limb's length only.
inline constexpr double whole_wood_stiffness = 1e15;

/// The limb with every split lamination as two pieces of the same stuff and grain, one on the other. Beyond the ends of the
/// split the cut goes on at the same share of the thickness, held by a bond of no thickness with the wood's own strengths
/// (GlueLineDescription::of_split); between them lies the patch. The piece over a splinter ends where it is as thin as the
/// lamination's feather. Pieces are told apart by name, indices of weak zones follow.
///
/// Throws std::invalid_argument, in a maker's words, where a split does not lie within its lamination, crosses another one,
/// slants so that a piece would be thinner than the lamination's feather at an edge, or would come out where something else lies.
/// A lamination with a split that slants holds no other.
LimbDescription divided(LimbDescription limb, std::vector<Split> splits);

/// Whether this glue line is that of a split that comes out at a face: one of the two pieces beside it ends there.
bool lifts_splinter(const LimbDescription &limb, std::size_t line);
} // namespace limbwright
