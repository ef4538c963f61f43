#pragma once

#include "materials/law/orthotropic.h"
#include "meshing/shape/section.h"
#include "meshing/shape/station_table.h"
#include "meshing/shape/weak_zones.h"
#include "meshing/shape/wrap.h"

#include <cmath>
#include <optional>
#include <string>
#include <vector>

namespace limbwright
{
// A limb before it is strung, in a frame of its own: x toward the target, y from the handle toward the tip, origin at the pivot
// (the deepest point of the grip), z to the archer's right, from the middle of the width. A lower limb is described as an upper
// one; the bow has its mirror image in y, z stays. Stations s [m] run along the back from the middle of the handle. The back that
// carries them and the side profile is that of the outermost lamination running the whole limb; overlays and backings that stop
// short lie outside of it or on it. All lengths [m], angles [rad].

/// Which way the grain of a lamination runs in the side view.
enum class GrainDirection
{
  along_lamination, //!< with its mid-surface: a strip that was bent, or split along the grain
  along_handle      //!< straight along the limb's y axis everywhere: a block that was sawn to shape, such as a riser
};

/// One lamination. Its thickness is measured along the normal of the back that carries the stations, as everything through the
/// depth is: a strip that lies over a steep face, such as the fade of a riser, is thinner square to itself by the cosine of the
/// slope. Laminations are listed from the belly to the back.
struct LaminationDescription
{
  std::string name;
  std::string material;      //!< key into the table of materials
  StationTable thickness;    //!< [m] glue excluded
  double start = 0.;         //!< [m] station; the limb's root station or less when it begins at the handle
  double end = 0.;           //!< [m] station; the limb's tip station or more when it runs to the tip
  double feather = 0.127e-3; //!< [m] thickness at which an end that tapers to nothing is cut square
  double bevel = 0.;         //!< [m] length over which a square end is bevelled down to the feather thickness; 0: square
  GrainDirection grain = GrainDirection::along_lamination;
  StationTable run_out; //!< [rad] slope of the grain against that direction in the side view, positive when the grain
                        //!< runs toward the back as it runs toward the tip; empty: none
  RingOrientation ring = RingOrientation::flat;
  double shrinkage = 0.;     //!< [1] along the grain, that it would shorten by after it was glued if nothing held it
  bool bent_to_form = false; //!< it was straight before it was bent on the form and glued
  bool split_off = false;    //!< it and the one before it are pieces of one lamination, on both sides of a split
};

/// A stretch of a glue line, or of a split, that is worse than the rest.
struct GluePatch
{
  double from = 0., to = 0.; //!< [m] stations
  double strength = 0.;    //!< [1] share of the line's strength and fracture energy; 0: open, the faces only press on each other
  double width_share = 1.; //!< [1] of the width that is so; the rest is as sound as the line
  double gap = 0.;       //!< [m] of an open or filled one: how far the faces stand apart in its middle, falling to nothing toward
                         //!< its ends
  double across = 0.;    //!< [m] of one over part of the width: z of its middle; a solid has it there
  std::string filling{}; //!< key into the table of adhesives: what fills the gap, and holds there in place of the line's glue

  /// What is left of the line's strength over the whole width [1]: in the side view a fault of part of the width weakens all of
  /// it, evenly.
  double holding() const { return 1. - width_share * (1. - strength); }
  bool open() const { return holding() == 0.; }
  bool filled() const { return !filling.empty(); }
  /// Whether it holds a place across the width, which is given as a share of half the width [m].
  bool reaches(double place, double width) const { return std::abs(place - 2. * across / width) < width_share; }
  /// [m] that the faces stand apart at a station, glue not counted: half a wave of a cosine, without slope at the ends. In the
  /// limb's shape that is so where it covers the whole width; beside one of part of it the faces are held.
  double gap_at(double station) const { return open() || (filled() && width_share == 1.) ? stands_apart(station) : 0.; }
  /// [m] of what fills it, the line's own glue not counted.
  double filling_at(double station) const { return filled() ? stands_apart(station) : 0.; }

private:
  double stands_apart(double station) const
  {
    if (station <= from || station >= to)
      return 0.;
    return 0.5 * gap * (1. - std::cos(2. * M_PI * (station - from) / (to - from)));
  }
};

/// The glue between lamination i and the next one toward the back. Where a lamination is absent, the line on its belly side
/// goes on between its neighbours; what touches what, stretch by stretch, say glue_stretches().
struct GlueLineDescription
{
  std::string adhesive;       //!< key into the table of adhesives
  double thickness = 0.;      //!< [m]; zero: no glue layer, a stiff bond of the stated stiffness
  double bond_stiffness = 0.; //!< [Pa/m] stiffness of the bond per area where thickness is zero, normal and shear
  bool cohesive = false;      //!< the line may soften and part; otherwise it is elastic whatever it bears
  bool of_split = false;      //!< no glue: a split parts a lamination here, and beyond its ends the wood is whole
  double slant = 0.; //!< [rad] of a split's plane about the limb's line, positive when it lies nearer the back toward z > 0; of a
                     //!< solid: the side view has its middle
  std::vector<GluePatch> patches{}; //!< not overlapping
};

/// The patch that holds a station, nothing where the line is as the rest.
inline const GluePatch *patch_at(const GlueLineDescription &line, double station)
{
  for (const GluePatch &patch : line.patches)
    if (station > patch.from && station < patch.to)
      return &patch;
  return nullptr;
}

/// Shape of the cross-section over the whole stack: local width = width(s) * least of three shares at that depth: the straight
/// sides, linear between belly and back, and what the shapes of the two faces leave.
///
/// In the side view every lamination is a slice of this shape, as wide as its chord. Where laminations are bent over a crowned
/// back they lie deeper toward the edges, by as much as the crown falls: the chord at a depth is then shared among them.
struct SectionDescription
{
  double belly_width_factor = 1.; //!< [1]
  double back_width_factor = 1.;  //!< [1]
  FaceShape belly = PlainFace{};
  FaceShape back = PlainFace{};
  bool follow_crown = false; //!< laminations are bent over the crown of the back (ArcFace); else they are flat slices
};

/// Lean of the back at stations, linear between them: a chain of circular arcs with common tangents.
struct SideProfileDescription
{
  StationTable lean;    //!< [rad] positive toward the target (reflex)
  bool of_form = false; //!< it is the form's, and prestrain bends the limb away from it; else the unstrung limb's
};

struct NockDescription
{
  double station = 0.;        //!< [m] where the string leaves the limb
  double depth_fraction = 1.; //!< [1] 0 at the back, 1 at the belly
  double across = 0.;         //!< [m] z of the string; of a solid
  double groove_length = 0.;  //!< [m] of the limb before the nock over which the string lies in a groove of the belly
  double groove_depth = 0.;   //!< [m] of the groove's bottom below the belly
  bool bound = false;         //!< the string's loop goes around the limb: what is open there slides but does not come apart
};

/// A block on the belly that the string may come to lie on: a hard point. Its own mass and stiffness are left out.
struct StringBridgeDescription
{
  double station = 0.; //!< [m]
  double height = 0.;  //!< [m] of its top above the belly
};

struct LimbDescription
{
  double root_station = 0.; //!< [m] where the limb leaves the rigid handle; with a riser among the laminations, where it is held
  double tip_station = 0.;  //!< [m] end of the meshed limb
  double root_back_x = 0.;  //!< [m] the back at the root station, in the limb's frame
  double root_back_y = 0.;  //!< [m]
  SideProfileDescription profile;
  StationTable width; //!< [m] largest width of the section
  SectionDescription section;
  std::vector<LaminationDescription> laminations; //!< belly to back
  std::vector<GlueLineDescription> glue;          //!< one fewer than the laminations
  NockDescription nock;
  std::optional<StringBridgeDescription> bridge;
  WeakZones weak{}; //!< where laminations are not clear, straight-grained wood
  std::vector<Wrap> wraps{};

  /// Whether one half of the width is the mirror image of the other.
  bool even_across() const;
};

inline bool LimbDescription::even_across() const
{
  for (const GlueLineDescription &line : glue)
  {
    if (line.slant != 0.)
      return false;
    for (const GluePatch &patch : line.patches)
      if (patch.across != 0.)
        return false;
  }
  for (const Knot &knot : weak.knots)
    if (knot.off_centre != 0. || knot.direction == KnotDirection::spike)
      return false;
  return nock.across == 0.;
}
} // namespace limbwright
