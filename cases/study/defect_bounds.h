#pragma once

#include "materials/bond_strength.h"
#include "meshing/shape/limb_shape.h"
#include "solver/results.h"

#include <array>
#include <map>
#include <string>

namespace limbwright
{
// What a fault would do to a drawn limb, from the limb without it. Bounds on the safe side, checked against whole solutions with
// the fault in (tests/verification/margin_map.cc); no faults beside each other.

/// Whether a mode at a face of a lamination is told to people, as ranked_for_people() has it: wood yields in compression.
bool told_to_people(const Material &material, Face face, FailureMode mode);

/// The greatest index of those told to people [1] at a face of a lamination whose grain runs out by a further angle there [rad],
/// toward the back or the belly, whichever is worse. The stress that the face bears along the limb is taken to stay: softer wood
/// would hand some of it on to its neighbours. Wood that yields along its grain bears more along the limb the more the grain runs
/// out: there it is taken as what it would be elastic, or what crushes it (1/cos2 of the angle), whichever is less.
double run_out_index(const Material &material, RingOrientation ring, const FaceState &face, double angle);

/// The index beside a knot [1] that takes a share of the lamination's width, from the index without: the rest bears the whole
/// lamination's force, and the section strains more (BendingSection::strains_more). In a limb of one piece the share that is left
/// then counts squared, as grading rules have it of knots at an edge (ASTM D245; from memory). The grain that swirls round it
/// counts by itself (cases/study/grain_around_knot.h).
double knot_index(double index, double width_share, double strains_more);

/// The two parts of a stack on either side of a glue line, and what holds them together.
struct PartedStack
{
  double slip = 0.;           //!< [1/N m] per width: strain by which the faces slide under a force of one in one part, balanced
                              //!< in the other: 1/EA + 1/EA + arm2/(EI + EI)
  double held_over = 0.;      //!< [m] beyond an end of the patch, over which the shear finds its way back
  double radius_squared[2]{}; //!< [m2] EI over EA of the belly and the back part
  double bending[2]{};        //!< [N m] EI per width
  double rooted[2]{};         //!< [m] by which each is longer than the patch at either end, for what holds it gives way
};
PartedStack parted_stack(const LimbShape &shape, const std::map<std::string, Material> &materials, const Adhesive *adhesive,
                         int line, double station);

/// What the end of an open patch frees by sliding, per area [J/m2]: the shear that the glue bore over half of the patch, and over
/// the length beyond it, gathers as a force that slides the parts. G = slip/2 (shear (a/2 + held_over))2, the energy release of
/// two shear-lag bars whose faces stay together; it is the whole of it while the faces press on each other.
double patch_sliding_energy(const PartedStack &parts, double shear, double length);

/// The same by opening, of the part that is pressed along by a strain (positive shortening): a strut held at its ends that stands
/// off by the gap to begin with is bent by the press until it buckles (Euler); its bending at the ends opens them, G = M2/2EI.
/// gap: [m], half a wave of a cosine as GluePatch has it. held_down: [1/m] curvature of the limb by which the press holds the
/// part against the other one; positive where the part lies on the hollow side. Of what it does (by Galerkin's method twice as
/// much) half is counted. Infinite from buckling on, nothing where it is stretched or held down altogether.
double patch_opening_energy(double radius_squared, double bending, double shortening, double gap, double held_down,
                            double length);

/// How near an open patch is to growing [1], from both: the roots of the energies over those it takes add up, for at one of the
/// ends they help each other. shear: [Pa] largest that the glue bore within the patch; shortening: of the belly and the back
/// part; hollow: [1/m] curvature of the drawn limb, positive when the belly is hollow.
double patch_index(const PartedStack &parts, const BondToughness &toughness, double shear,
                   const std::array<double, 2> &shortening, double hollow, double gap, double length);
} // namespace limbwright
