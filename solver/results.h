#pragma once

#include "meshing/shape/flaws.h"

#include <cmath>
#include <limits>
#include <optional>
#include <string>
#include <tuple>
#include <vector>

namespace limbwright
{
// What a run found, in SI, for whoever tells it. Lengths of draw are measured from the pivot (deepest point of the grip) to the
// nocking point, along the shot; the reader's convention is added when they are told. Stations are along the back from the
// middle of the handle. Stresses are second Piola-Kirchhoff, strains Green-Lagrange, both in grain axes of the unstrung limb.

inline constexpr double not_known = std::numeric_limits<double>::quiet_NaN();

enum class LimbName
{
  upper,
  lower
};

/// How a layer or a glue line fails.
enum class FailureMode
{
  tension_along,      //!< break in tension along the grain
  compression_along,  //!< stress along the grain over the crushing strength
  across_tension,     //!< opening across the grain, through the thickness
  across_compression, //!< crushing across the grain
  shear,              //!< shear on the grain plane
  rolling_shear,      //!< shear across the grain, of a solid
  interaction,        //!< interactive criterion (Tsai-Wu)
  belly_set,          //!< set index
  belly_crushing,     //!< crushing index
  glue_shear,
  glue_peel,
  glue_mixed,     //!< shear and opening together, quadratic
  patch_growth,   //!< an open patch of glue growing longer
  edge_growth,    //!< glue beginning to part from its own free edge
  splinter,       //!< a splinter lifting: the plane of slanting grain pulled open and sheared
  slanting_grain, //!< break across slanting grain, interactive criterion (Norris)
  knot_cracks,    //!< a knot, or what fills it, pulled apart
  wrap_breaks     //!< the thread of a wrap torn
};

/// The bow at one nocking-point position on the way from brace to full draw.
struct DrawPoint
{
  double draw = 0.;          //!< [m] pivot to nocking point
  double force = 0.;         //!< [N] at the nocking point, whole bow
  double stiffness = 0.;     //!< [N/m] d force / d draw
  double tension = 0.;       //!< [N] string, upper limb's half
  double string_angle = 0.;  //!< [rad] between string and the limb's tangent at the nock
  double work = 0.;          //!< [J] work of the hand since brace
  double strain_energy = 0.; //!< [J] limbs, glue, wraps and string, whole bow
  double dissipated = 0.;    //!< [J] used up by crushing wood, parting glue and snapping layers since the beginning, whole bow
  double tip_x = 0., tip_y = 0.; //!< [m] upper limb's string point in the bow's frame
  double tip_angle = 0.;         //!< [rad] change of the tip's tangent from unstrung
  double tension_lower = 0.;     //!< [N] string, lower limb's half
  double nocking_height = 0.;    //!< [m] of the drawn point above the pivot
  double handle_turn = 0.;       //!< [rad] of the handle about the pivot, top toward the archer positive
  double contact_length = 0.;    //!< [m] of string from where it first touches the upper limb to the nock
  double lift_off_station = 0.;  //!< [m] where the string leaves the upper limb
  double contact_length_lower = 0., lift_off_station_lower = 0.; //!< [m] the same of the lower limb
};

enum class Face
{
  belly,
  back,
  inside //!< between its faces
};

/// One lamination's face at one station: the extreme fibre there.
struct FaceState
{
  double station = 0.; //!< [m]
  int lamination = 0;
  Face face = Face::belly;
  double strain_along = 0.;                            //!< [1]
  double stress_along = 0.;                            //!< [Pa]
  double stress_across = 0.;                           //!< [Pa] through the thickness
  double stress_shear = 0.;                            //!< [Pa]
  bool near_end = false;                               //!< within one local thickness of a clamp, nock, load or layer end
  double crushed = 0.;                                 //!< [1] plastic shortening along the grain
  double raw_strain_along = 0., raw_stress_along = 0.; //!< [1], [Pa] as recovered from the elements
  bool structural = false; //!< values of a plane section (solver/failure/fibre_section.h): near ends, and corners of the shape
};

struct GlueState
{
  double station = 0.;    //!< [m]
  int line = 0;           //!< belly-side lamination of the pair
  double thickness = 0.;  //!< [m]
  double shear = 0.;      //!< [Pa] positive when the back side moves toward the tip
  double peel = 0.;       //!< [Pa] positive opening
  double mean_shear = 0.; //!< [Pa] averaged over the stated length
  double mean_peel = 0.;  //!< [Pa]
  bool near_end = false;
  int back_lamination = -1; //!< of the pair at this station: the next one there; -1: the next in the list
  double parted = 0.;       //!< [1] share of its fracture energy that is spent; 1: open
  double let_go = 0.;       //!< [1] the same of the glue there that held to begin with; an open patch is none
  double lift = 0.;         //!< [1] of an open patch: what its faces stand apart beyond its gap, over the loose layer's thickness
};

/// An edge of glue that holds, and the energy it would release, per area, if it parted farther from there: the end of an open
/// patch, or a free edge (free_edges.h), where a lamination ends or at the side of a solid.
struct PatchEnd
{
  int line = 0;
  int back_lamination = -1;        //!< on the line's back side there: where a lamination ends, the one that would part
  double station = 0.;             //!< [m]
  bool toward_tip = false;         //!< it would grow toward the tip
  double opening = 0.;             //!< [J/m2] G_I; none where the faces press on each other
  double sliding = 0.;             //!< [J/m2] G_II
  double toughness = not_known;    //!< [J/m2] G_c of the glue beyond it at that mix
  double process_zone = not_known; //!< [m] length in which that glue would soften, see process_zone_length()
  double across = 0.;              //!< [1] of a solid: share of half the width
  bool sideways = false;           //!< of a solid: it would grow across the width

  double total() const { return opening + sliding; }                                    //!< [J/m2]
  double sliding_share() const { return total() > 0. ? sliding / total() : 0.; }        //!< [1]
  double index() const { return toughness > 0. ? std::sqrt(total() / toughness) : 0.; } //!< [1] grows as the load does
};

struct SectionState
{
  double station = 0.;          //!< [m]
  double width = 0.;            //!< [m]
  double stack = 0.;            //!< [m] glue included
  double curvature_change = 0.; //!< [1/m] bending positive when the limb bends toward the archer
  double axis_strain = 0.;      //!< [1] at mid-depth, of the plane section, since the described shape
  double fit_belly_strain = 0.; //!< [1] of the plane section, at the belly face
  double fit_back_strain = 0.;  //!< [1]
  double yielded_share = 0.;    //!< [1] of the section's area that has yielded in compression
  double x = 0., y = 0.;        //!< [m] current place of the back, bow's frame
  double drift = 0.;            //!< [m] of a solid of the whole width: mean displacement across it
  double twist = 0.;            //!< [rad] of the same: turn about the bent limb, the edge at z > 0 toward the back positive
};

/// A place, a mode and how near it is to failing.
struct HotSpot
{
  LimbName limb = LimbName::upper;
  double station = 0.;      //!< [m]
  double across = 0.;       //!< [1] of a solid: share of half the width; 0 in the middle, -1 or 1 at an edge
  int lamination = -1;      //!< index, or -1
  int glue_line = -1;       //!< index, or -1
  int back_lamination = -1; //!< on the glue line's back side there; -1: the next in the list
  Face face = Face::belly;
  FailureMode mode = FailureMode::tension_along;
  double index = 0.;                 //!< [1] at the last draw reached; fails at one
  double value = 0.;                 //!< [Pa] stress; strain for the belly indices; [J/m2] G for growth of a patch
  double limit = 0.;                 //!< the same: strength, strain, or G_c
  std::optional<double> draw_at_one; //!< [m] pivot to nocking point, where the index reaches one
  bool averaged = false;             //!< a structural value, or an averaged traction
  std::string note;                  //!< for example that a strength is an estimate
};

/// The same limb, layer or glue line, and mode.
inline bool same_place(const HotSpot &a, const HotSpot &b)
{
  return std::tie(a.limb, a.lamination, a.glue_line, a.back_lamination, a.mode) ==
         std::tie(b.limb, b.lamination, b.glue_line, b.back_lamination, b.mode);
}

/// A flaw that the limb was described with, and what is worst near it.
struct NearFlaw
{
  Flaw flaw;
  std::vector<HotSpot> worst; //!< at most one per layer and mode, worst first
};

/// The limb's state at one saved moment.
struct LimbSnapshot
{
  LimbName limb = LimbName::upper;
  std::vector<FaceState> faces;
  std::vector<GlueState> glue;
  std::vector<PatchEnd> patch_ends;
  std::vector<PatchEnd> free_edges; //!< each lamination end; of a solid each station of its sides
  std::vector<SectionState> sections;
  std::vector<NearFlaw> flaws; //!< in the order of flaws()
};

struct Snapshot
{
  std::string stage; //!< "unstrung", "braced", "drawing", "full draw"
  DrawPoint point;
  std::vector<LimbSnapshot> limbs;
  std::vector<HotSpot> worst; //!< by index, at most one per limb, layer and mode
  std::string field_name;     //!< stem of the files under fields/; empty when none was written
};

/// How a bow of solid limbs of the whole width stands sideways in one state.
struct SidewaysHold
{
  std::string stage;
  double stiffness = not_known; //!< [N/m] of a nock against a force across the limb; the softer limb's
  /// [1] what all stresses and the string's pull would have to be multiplied by, in this shape, until the limbs give way by
  /// themselves; not known: none found, or no string.
  double critical_factor = not_known;
  double share_across = not_known; //!< [1] of that motion: one is sideways, nothing in the plane of the draw
};

struct PhaseTime
{
  std::string phase;
  double seconds = 0.;
};

struct SolveReport
{
  int unknowns = 0;
  int cells = 0;
  int columns = 0;
  int brace_iterations = 0;
  int draw_iterations = 0;
  int steps_cut = 0;
  std::vector<PhaseTime> phases;
};

/// Distances from the belly where each limb leaves the handle to the string, along the shot; their difference is the tiller. [m]
struct StringGaps
{
  double upper = 0., lower = 0.;
  double tiller() const { return upper - lower; }
};

/// Something that happened on the way from brace to the last draw.
struct Event
{
  enum class Kind
  {
    first_yield,     //!< wood begins to yield in compression
    yielded_tenth,   //!< of some section's area
    yielded_quarter, //!<
    yielded_half,    //!<
    belly_crushes,   //!< crushing index one
    tension_break,   //!< tension index along the grain one
    glue_past_strength,
    patch_could_grow, //!< an end of an open patch releases the energy that its growth takes
    glue_parts,       //!< some glue that held has let go
    layer_buckles,    //!< a loose layer stands off by half its thickness
    grows_by_itself   //!< glue parts with no more draw
  };
  Kind kind = Kind::first_yield;
  double draw = 0.;    //!< [m] pivot to nocking point
  bool braced = false; //!< it had happened when the bow was strung
  LimbName limb = LimbName::upper;
  double station = 0.; //!< [m] at the solved step that follows
  int lamination = -1; //!< index, or -1: the whole section, or a glue line
  int glue_line = -1;  //!< index, or -1
  FailureMode mode = FailureMode::belly_set;
};

/// One draw and what came back of it.
struct DrawCycle
{
  double draw_weight = 0.;   //!< [N] at full draw
  double work = 0.;          //!< [J] of the hand from brace to full draw
  double returned = 0.;      //!< [J] given back on the way down
  double brace_height = 0.;  //!< [m] after it, with the same string
  double brace_tension = 0.; //!< [N]
  double parted = 0.;        //!< [m] of glue line that has let go up to its full draw, all solved limbs together

  double lost() const { return work - returned; } //!< [J] kept by wood that crushes
};

/// The bow let down, drawn again, and unstrung.
struct LetDown
{
  bool complete = false;
  std::string reason;              //!< why it stopped; empty when complete
  std::vector<DrawCycle> cycles;   //!< the first is the draw told everywhere else
  std::vector<Snapshot> snapshots; //!< the first way down, then "let down" and "unstrung again" after the last cycle
  double set_upper = not_known;    //!< [m] how far the unstrung nock has come toward the archer
  double set_lower = not_known;    //!< [m]
  int iterations = 0;
};

/// What the same bow is drawn as beside itself.
enum class BowBeside
{
  sound,   //!< without its flaws
  as_found //!< before it was mended: fillings out, wraps off
};

/// One flaw with the bow as it is described, and the same place of the bow beside.
struct FlawDifference
{
  LimbName limb = LimbName::upper;
  Flaw flaw;
  std::vector<HotSpot> with, without; //!< near it, worst first
  double bend_ratio = not_known;   //!< [1] the greatest bend near it over one thickness of the limb, over that of the bow beside
  double bend_station = not_known; //!< [m] of its middle
};

/// What a bow's flaws cost it: the bow as described beside the same bow solved otherwise, at the same draw.
struct FlawCost
{
  BowBeside beside = BowBeside::sound;
  bool complete = false;
  std::string reason;                                         //!< why there is nothing to compare; empty when complete
  double draw = 0.;                                           //!< [m] pivot to nocking point, of both
  double weight_with = not_known, weight_without = not_known; //!< [N]
  double energy_with = not_known, energy_without = not_known; //!< [J] stored
  double set_with = not_known, set_without = not_known;       //!< [m] of the limb that takes more of it in the bow as described
  std::vector<FlawDifference> flaws;
  std::vector<Event> events; //!< of the bow beside
  std::string change_files;  //!< stem of the files of fields that hold with minus without; empty: none were written
};

struct DrawResults
{
  bool complete = false;    //!< all stages reached
  std::string failed_stage; //!< empty when complete
  std::string reason;       //!< in plain words
  bool symmetric = true;    //!< one limb solved, both alike

  double brace_height = 0.;        //!< [m] pivot to string
  double brace_tension = 0.;       //!< [N]
  double full_draw_tension = 0.;   //!< [N]
  double draw_weight = 0.;         //!< [N] at the last draw reached
  double draw_length = 0.;         //!< [m] pivot to nocking point, last reached
  double rise_per_metre = 0.;      //!< [N/m] at full draw
  double stored_energy = 0.;       //!< [J] work of the hand from brace
  double string_slack_length = 0.; //!< [m] unstressed, nock contact to nock contact
  double tip_angle = 0.;           //!< [rad] at full draw
  StringGaps gaps_braced, gaps_full;
  double mass_upper = 0., mass_lower = 0.; //!< [kg] one limb from its root to its tip, each
  double spring_upper = not_known;         //!< [m] how far prestrain moves the unstrung nock toward the target, from where the
                                           //!< described shape has it; not known: there is no prestrain
  double spring_lower = not_known;         //!< [m]

  std::vector<Snapshot> snapshots;    //!< unstrung, braced, each solved draw step; the last is the state reached
  std::vector<DrawPoint> draw_curve;  //!< from brace, at every inch of draw and at full draw (interpolated)
  std::vector<DrawPoint> overdraw;    //!< 1 and 2 in past full draw, as far as they were reached
  std::vector<Event> events;          //!< from brace to the last draw, in its order
  LetDown let_down;                   //!< nothing in it where the bow was left drawn
  std::vector<HotSpot> worst;         //!< ranking at the last draw reached, worst first
  std::vector<SidewaysHold> sideways; //!< unstrung, braced and at the last draw, where it was asked for
  std::vector<FlawCost> flaw_costs;   //!< against each bow that was drawn beside
  SolveReport solve;
};
} // namespace limbwright
