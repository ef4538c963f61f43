#pragma once

#include "meshing/shape/limb_description.h"

#include <array>
#include <cstddef>
#include <functional>
#include <utility>
#include <vector>

namespace limbwright
{
using Point2 = std::array<double, 2>;

/// What presses the layers over an inner end, [Pa], beside their modulus along the limb, [Pa]: 60 psi in a hose press and wood
/// with glass over it; common practice, no source. The length of a pocket goes with the fourth root of their ratio.
inline constexpr double pressing = 0.4e6, pressed_modulus = 15e9;

/// Stations nearer to each other than this are one station. [m] Finer than a limb is marked out.
inline constexpr double same_station = 5e-5;

/// From which change of slope on a station is a corner. [1] Of a lamination's thickness, or of half the width, over the length
/// along the limb: 2 thousandths of an inch per inch, a ninth of a degree. And of the stack's thickness over the radius of the
/// side profile, where its arcs meet: 2 per cent, of which the fibre stress of a curved bar takes about a third. Ours.
inline constexpr double corner_slope = 0.002, corner_bend = 0.02;

/// An end of a lamination within the limb.
struct LaminationEnd
{
  std::size_t lamination = 0;
  double station = 0.;    //!< [m]
  bool toward_tip = true; //!< the lamination lies on the root's side and nothing of it on the tip's side
  bool inner = false;     //!< neighbours go on beyond it on both sides and close over it
  double thickness = 0.;  //!< [m] of the lamination where it is cut
  double step = 0.;       //!< [m] what the neighbours have to close: the thickness and the glue line that vanishes with it
  double slope = 0.;      //!< [1] at which the lamination thins toward an inner end; none where it thickens
  double pocket = 0.;     //!< [m] length beyond an inner end in which they do
  double lift = 0.;       //!< [m] length before it in which they stand off from the lamination's slope already

  /// Space under the layers that come down over an inner end, at a distance [m] beyond it, up to the pocket's length; and over
  /// the lamination's own face at a distance [m] before it, up to the lift. Pressed evenly, they span the valley between the
  /// slope and what lies beyond as an elastic strip that touches both without a moment; where the step is too high for that they
  /// leave the end at its slope, and touch beyond without a moment (beam on a flat rigid bed: Timoshenko 1940, Strength of
  /// Materials II, sec. 4). [m]
  double space(double beyond) const;
  double space_before(double before) const;
};

/// What lies on the thinner side of a glue line at a station.
struct LooseLayer
{
  double thickness = 0.;      //!< [m] of all laminations there, the glue between them not counted
  std::size_t lamination = 0; //!< the one beside the line
  bool toward_belly = false;
};

/// The unstrung limb as surfaces: where every lamination's faces lie. One map (station, depth) -> place serves the side view and,
/// with the width added, the solid. Depth runs from the back datum toward the belly, along the back's normal; it is negative in
/// laminations that lie outside the datum.
///
/// Throws std::invalid_argument, in a maker's words, where the description makes no limb: no lamination runs the whole limb, a
/// lamination has no thickness where it should be present, a curve is tighter than the limb is thick, and the like.
class LimbShape
{
public:
  explicit LimbShape(LimbDescription description);

  const LimbDescription &description() const { return limb; }
  std::size_t n_laminations() const { return limb.laminations.size(); }
  double length() const { return limb.tip_station - limb.root_station; } //!< [m] along the back

  /// Stations between which the lamination is present, after its ends have been cut at the feather thickness.
  double start(std::size_t lamination) const { return extents[lamination][0]; }
  double end(std::size_t lamination) const { return extents[lamination][1]; }
  bool present(std::size_t lamination, double s) const;

  /// Every end of a lamination that lies within the limb.
  const std::vector<LaminationEnd> &lamination_ends() const { return ends; }

  /// Length of the glue-filled pocket in which the neighbours close over an inner end; the longer one where the lamination has
  /// two, zero where it has none. [m]
  double pocket_length(std::size_t lamination) const;

  /// Thickness of the lamination where it is present, zero elsewhere. [m]
  double thickness(std::size_t lamination, double s) const;
  /// Its largest thickness. [m]
  double full_thickness(std::size_t lamination) const;

  /// The pieces that a split has made of a lamination, this one among them: from the first to the last, which are the same where
  /// none has.
  std::size_t first_piece(std::size_t lamination) const;
  std::size_t last_piece(std::size_t lamination) const;
  /// Depth of the back face, and thickness, that the lamination of this piece would have without splits. [m]
  double whole_back_depth(std::size_t lamination, double s) const;
  double whole_thickness(std::size_t lamination, double s) const;

  /// Next lamination present at s toward the back; n_laminations() where there is none.
  std::size_t next_toward_back(std::size_t lamination, double s) const;

  /// Gap between a present lamination and the next one toward the back: the glue line, what is left of the pockets of
  /// laminations that end between them, and the gap of an open patch; zero where nothing lies on its back. [m] along the normal
  double gap(std::size_t lamination, double s) const;
  /// The same toward a given lamination, where none is present between the two on at least one side of s.
  double gap(std::size_t belly_side, std::size_t back_side, double s) const;

  /// The thinner side of a glue line, which would come loose over an open patch.
  LooseLayer loose_layer(std::size_t line, double s) const;

  /// Depth below the datum of the lamination's back and belly face; only where it is present. [m]
  double back_face_depth(std::size_t lamination, double s) const;
  double belly_face_depth(std::size_t lamination, double s) const;

  /// Whole stack at s, glue included. [m]
  double stack(double s) const;
  /// Depths of the outermost faces present at s: back (<= 0 for an overlay), belly. [m]
  double outer_back_depth(double s) const;
  double outer_belly_depth(double s) const;

  double lean(double s) const;                //!< [rad] of the back
  Point2 back(double s) const;                //!< [m] datum
  Point2 place(double s, double depth) const; //!< [m] reference place
  double width(double s, double depth) const; //!< [m] local width of the section, at least least_width_share of the largest
  double width(double s) const { return limb.width.at(s); }

  /// Which laminations the chord at a depth within a lamination runs through, and the share of it in each; they sum to one. The
  /// lamination alone but where the section says that laminations follow the crown of the back. A glue line counts half to
  /// either side.
  std::vector<std::pair<std::size_t, double>> across(std::size_t lamination, double s, double depth) const;

  /// Which lamination lies at a place of a chord: across is the distance from the middle plane over half the section's largest
  /// width [1]. The given one but where laminations follow the crown.
  std::size_t lamination_at(std::size_t lamination, double s, double depth, double across) const;

  /// Where a place of a lamination lies in a solid limb. across: share of half the width. Depth is the side view's.
  struct InSection
  {
    double depth = 0.; //!< [m] below the datum; deeper or shallower than in the side view where a rounded face falls
    double z = 0.;     //!< [m]
  };
  /// The rows on both sides of a split that slants follow its plane, less and less toward the lamination's own faces. A rounded
  /// face falls toward the edges, and with it the rows of the outermost lamination, less and less with the depth, or of
  /// all but the innermost where they follow the crown. Where that lamination is too thin for it the rows stay flat and narrow
  /// toward the face, as slices of the side view do.
  InSection in_section(std::size_t lamination, double s, double depth, double across) const;
  /// Depth in the lamination at a place whose rows follow a split that slants: grain, knots and prestrain are those of there.
  /// Elsewhere the depth itself. [m]
  double slanted_depth(std::size_t lamination, double s, double depth, double across) const;
  /// Whether the rows under the crown of the back fall with it.
  bool back_falls() const { return falling_back; }

  /// Strain along the grain that a lamination has in the described shape, stretching positive [1]: its shrinkage held back, and
  /// what bending it to the form took, curvature times distance from its middle.
  double prestrain(std::size_t lamination, double s, double depth) const;

  /// Depths within the stack at which the width does not change smoothly with the depth: the back and belly face, and where the
  /// shapes of the faces end. [m] Ascending.
  std::vector<double> width_breaks(double s) const;
  /// True where the shape of a face (other than straight sides) or of a crown below it reaches into the lamination.
  bool face_reaches_into(std::size_t lamination) const;

  /// Reference direction of the grain in a lamination: angle [rad] of L from the y axis toward +x (run-out included). L follows
  /// the lamination's own mid-surface, or the y axis.
  double grain_lean(std::size_t lamination, double s) const;

  /// What the width of a lamination holds at a depth: see width_strips(). One strip of clear wood almost everywhere.
  std::vector<WidthStrip> strips(std::size_t lamination, double s, double depth) const;
  /// The grain's turn from grain_lean() at a place, across [m] from the middle of the width; and its mean over the width, which
  /// the side view shows.
  GrainTurn grain_turn(std::size_t lamination, double s, double depth, double across) const;
  GrainTurn mean_grain_turn(std::size_t lamination, double s, double depth) const;
  /// The knot that holds a place, -1 where there is none.
  int knot_at(std::size_t lamination, double s, double depth, double across) const;

  /// Stations from root to tip at which something is not smooth in s: ends, bevels, rows of lean, width and thickness
  /// where these run straight between them. [m] Ascending, root and tip included, none nearer to the next than same_station.
  std::vector<double> kinks() const;
  /// The same with every station at which one polynomial of a table follows another, rows of smooth ones too. [m]
  std::vector<double> pieces() const;

  /// Stations at which the thickness of a lamination, or the width, changes its slope abruptly by more than corner_slope, or the
  /// side profile its curvature by more than corner_bend. [m] Ascending, strictly between root and tip; ends of laminations are
  /// left out, as is a split, on whose two sides the whole lamination counts.
  std::vector<double> corners() const;

  /// Mass of the limb from a station on [kg], density by lamination and of the glue by line [kg/m3].
  double mass(const std::vector<double> &lamination_density, const std::vector<double> &glue_density, double from = 0.) const;

private:
  LimbDescription limb;
  std::size_t datum = 0;                      // index of the lamination whose back face is the datum
  std::vector<std::array<double, 2>> extents; // effective start and end of every lamination
  std::vector<LaminationEnd> ends;
  std::vector<double> arc_station; // the root and the knots of the lean table, with the places reached there
  std::vector<Point2> arc_place;

  bool falling_back = false, falling_belly = false;

  void lay_out_back();
  void let_faces_fall();
  double share_of_width(double s, double depth) const;
  double split_falls(std::size_t line, double s, double across) const;
  std::size_t innermost(double s) const;
  std::size_t outermost(double s) const;
  std::vector<double> borders(const std::function<std::vector<double>(const StationTable &)> &of_table) const;
  void cut_laminations();
  void find_ends();
  void check() const;

  // The datum, or the piece it was split from where it has come out at the back.
  std::size_t datum_at(double s) const
  {
    std::size_t top = datum;
    while (!present(top, s))
      --top;
    return top;
  }

  // What an absent lamination leaves between its neighbours: the step at its end, falling to nothing along the pocket.
  double space(std::size_t lamination, double s) const;
};
} // namespace limbwright
