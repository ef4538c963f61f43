#pragma once

#include <cmath>
#include <cstddef>
#include <vector>

namespace limbwright
{
// Places where a lamination is not clear, straight-grained wood. Everything is a function of the place in the lamination, across
// its width too: the side view weighs it over the width, a solid takes it as it is.

/// A place in a lamination. [m]
struct LayerPlace
{
  double station = 0.;
  double below_back = 0.; //!< depth below the lamination's back face
  double across = 0.;     //!< z: from the middle of the width, positive to the archer's right
};

/// How the grain is turned from the lamination's own direction. [rad]
struct GrainTurn
{
  double dive = 0.; //!< in the side view, positive when it runs toward the back on its way to the tip
  double turn = 0.; //!< in the plan view, positive when it runs toward positive z on its way to the tip

  bool none() const { return dive == 0. && turn == 0.; }
  /// Angle between the grain and the lamination's direction.
  double angle() const { return std::acos(std::cos(dive) * std::cos(turn)); }
};

enum class KnotDirection
{
  through, //!< the branch ran through the lamination's thickness: round in the plan view
  across,  //!< it lies across the width: round in the side view
  spike    //!< as that, from an edge, coming to a point: a knot that was sawn along
};

enum class KnotState
{
  sound, //!< grown in: wood whose grain runs along the branch
  loose, //!< holds nothing; that it presses where the wood around it is pressed is left out
  hole,
  filled //!< with glue and wood dust or the like
};

/// A knot in one lamination. The grain flows around it as a liquid does around an ellipse.
struct Knot
{
  std::size_t lamination = 0;
  double station = 0.;     //!< [m] of its middle
  double off_centre = 0.;  //!< [m] z of its middle; of one from an edge: where it comes to a point
  double depth = 0.;       //!< [m] of the middle of one that lies across, below the lamination's back face
  double diameter = 0.;    //!< [m] square to the grain; of a spike: at the edge
  double length = 0.;      //!< [m] of one that lies across, along itself; 0: over the whole width
  double stretch = 1.;     //!< [1] size along the grain over the diameter
  double dive = 0.;        //!< [rad] of the grain beside one that runs through, at its near and far end; dies out as 1/r^2
  bool grain_flows = true; //!< false: the grain runs straight up to it, as to a bored hole
  KnotDirection direction = KnotDirection::through;
  KnotState state = KnotState::sound;
  double filling_modulus = 0.;  //!< [Pa] of what fills it
  double filling_strength = 0.; //!< [Pa] in tension; 0: not known

  double half_across() const { return 0.5 * diameter; }          //!< [m] half axis square to the grain
  double half_along() const { return 0.5 * stretch * diameter; } //!< [m] half axis along the grain
  /// [m] from its middle along the limb beyond which its grain is taken as straight: four times its size, where a circle turns
  /// the grain by less than a degree.
  double reach() const { return 8. * std::fmax(half_across(), half_along()); }
};

/// A stretch of one lamination whose grain slopes otherwise than the rest's.
struct GrainRegion
{
  std::size_t lamination = 0;
  double from = 0., to = 0.; //!< [m] stations
  double slope = 0.;         //!< [rad] added to the lamination's run-out, positive toward the back on the way to the tip
};

struct WeakZones
{
  std::vector<Knot> knots;
  std::vector<GrainRegion> regions;
  bool told_sound = false; //!< the zones count for the mesh alone: the same limb of clear wood, on the same mesh

  bool empty() const { return knots.empty() && regions.empty(); }
};

/// Part of the width at a place, with one kind of stuff and grain in it.
struct WidthStrip
{
  double share = 1.; //!< [1] of the width
  GrainTurn grain;
  int knot = -1;      //!< index of the knot that fills it; -1: wood
  double across = 0.; //!< [m] z of its middle
};

/// Direction of a stream past an ellipse with half axes a along the stream and b across it, at (x along, y across) from its
/// middle, as an angle [rad] positive toward y (Goodman and Bodig 1978, flow-grain analogy, from memory; the stream is that of
/// the conformal map of a circle, Milne-Thomson, Theoretical Hydrodynamics, ch. 6). Inside the ellipse: zero.
double stream_angle(double x, double y, double a, double b);

/// Size of the section at a place. [m]
struct LayerSize
{
  double thickness = 0.; //!< of the lamination
  double width = 0.;     //!< local
};

/// The grain at a place. Within a knot: along the branch where it is sound, none elsewhere.
GrainTurn grain_turn(const WeakZones &zones, std::size_t lamination, const LayerPlace &place, const LayerSize &size);

/// The knot that holds a place, -1 where there is none.
int knot_at(const WeakZones &zones, std::size_t lamination, const LayerPlace &place, const LayerSize &size);

/// True where anything but clear wood is met across the width at a station.
bool weak_at(const WeakZones &zones, std::size_t lamination, double station);

/// What the width holds at a station and a depth, strips from one edge to the other; their shares sum to one. One whole strip of
/// clear wood where weak_at() is false.
std::vector<WidthStrip> width_strips(const WeakZones &zones, std::size_t lamination, double station, double below_back,
                                     const LayerSize &size);
} // namespace limbwright
