#pragma once

#include "materials/bond_strength.h"
#include "meshing/shape/limb_description.h"

#include <map>
#include <string>

namespace limbwright
{
/// Stiffness of a glue line per area, in opening and in sliding. [Pa/m]
struct BondStiffness
{
  double normal = 0., shear = 0.;
};

/// How a glue line holds at a station, patch the one there or null. A solid has a patch of part of the width in its place; in the
/// side view (spread) it is mixed with what holds beside it, by its share of the width.
class GlueBond
{
public:
  GlueBond(const GlueLineDescription &line, const GluePatch *patch, bool spread, const std::map<std::string, Adhesive> &adhesives)
      : glue(line),
        weak(patch),
        share(patch == nullptr ? 0.
              : spread         ? patch->width_share
                               : 1.),
        table(adhesives)
  {
  }

  /// What of the line's strength is left [1]; 0: open.
  double holding() const { return 1. - share * (1. - (weak == nullptr ? 1. : weak->strength)); }

  /// thickness: [m] between the faces in the limb's shape. What fills a gap is taken in a row with the line's own glue, which is
  /// of the same stuff there; with a bond of no thickness, in a row with its stiffness.
  BondStiffness stiffness(double station, double thickness) const;

  /// The weaker of what glues and the two woods, in a patch times its strength.
  BondStrength strength(const Material &belly, RingOrientation belly_ring, const Material &back, RingOrientation back_ring) const;
  /// The same as a bond that softens and parts; its stiffness is left to the caller.
  CohesiveBond parting(const Material &belly, RingOrientation belly_ring, const Material &back, RingOrientation back_ring) const;

private:
  const GlueLineDescription &glue;
  const GluePatch *weak;
  double share; // of the width that the patch takes
  const std::map<std::string, Adhesive> &table;

  const Adhesive &of_line() const { return adhesive_called(table, glue.adhesive); }
  const Adhesive &of_patch() const { return weak->filled() ? adhesive_called(table, weak->filling) : of_line(); }
  // Of a quantity of the line and of the patch.
  double mixed(double line, double patch) const
  {
    const double in_patch = share * weak->strength * patch;
    return share < 1. ? (1. - share) * line + in_patch : in_patch; // the line's may be infinite
  }
};
} // namespace limbwright
