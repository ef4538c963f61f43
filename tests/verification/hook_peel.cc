#include "cases/report/output_units.h"
#include "cases/report/trade_figures.h"
#include "meshing/shape/limb_shape.h"
#include "support/cases.h"
#include "support/check_table.h"

#include <cmath>

using namespace limbwright;
using namespace limbwright::checks;

TEST_CASE("The back glass is pulled off in the hook of a recurve", "[slow]")
{
  const Case bow = twin("maple-glass-recurve");
  const DrawResults results = run_to_the_end(bow);
  const auto pull = pull_on_back(bow, results);
  REQUIRE(pull);
  REQUIRE(bow.bow.upper.laminations[static_cast<std::size_t>(pull->lamination)].name == "back glass");
  const LimbShape shape(bow.bow.upper);
  CheckTable table("Peel under the back glass of a hook, opening positive",
                   "pull of a curved strip, stress x thickness x curvature; independent elastic beam calculation: about 80 psi "
                   "braced, 105 psi drawn, 14 to 16 in from the limb's root");

  // The stress in a thin strip hardly changes through it: the mean of its two faces. What the lamination below gives up through
  // the line, and the shear's change along it, are left out: a tenth.
  // Glue is known at columns and between them, faces at columns: the nearest one serves.
  const double s = pull->station;
  double column = not_known;
  for (const SectionState &section : results.snapshots.back().limbs.front().sections)
    if (!(std::abs(section.station - s) >= std::abs(column - s)))
      column = section.station;
  const auto strip = [&](const Snapshot &snapshot)
  {
    double stress = 0., bending = not_known;
    int n_faces = 0;
    for (const FaceState &face : snapshot.limbs.front().faces)
      if (face.lamination == pull->lamination && std::abs(face.station - column) < 1e-9)
      {
        stress += face.stress_along;
        ++n_faces;
      }
    REQUIRE(n_faces == 2);
    for (const SectionState &section : snapshot.limbs.front().sections)
      if (std::abs(section.station - column) < 1e-9)
        bending = section.curvature_change;
    return 0.5 * stress * shape.thickness(static_cast<std::size_t>(pull->lamination), s) *
           (bow.bow.upper.profile.lean.slope(s) - bending);
  };
  table.relative("full draw [Pa] against the strip's pull", pull->last, strip(results.snapshots.back()), 0.1);
  table.relative("full draw [psi]", pull->last / psi, 105., 0.1);
  table.relative("braced [psi]", pull->braced / psi, 80., 0.1);
  table.at_least("where [in from the root]", (s - bow.bow.upper.root_station) / inch, 14.);
  table.at_most("where [in from the root]", (s - bow.bow.upper.root_station) / inch, 16.);
}
