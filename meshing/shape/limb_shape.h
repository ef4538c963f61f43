#pragma once

#include "meshing/shape/limb_description.h"

#include <array>
#include <vector>

namespace limbwright
{
using Point2 = std::array<double, 2>;

/// The unstrung limb as surfaces: where every lamination's faces lie. One map (station, depth) -> place serves the side view and,
/// with the width added, the solid. Depth runs from the back datum toward the belly, along the back's normal; it is negative in
/// laminations that lie outside the datum.
class LimbShape
{
public:
  explicit LimbShape(LimbDescription description);

  const LimbDescription &description() const { return limb; }
  std::size_t n_laminations() const { return limb.laminations.size(); }

  /// Stations between which the lamination is present, after its ends have been cut at the feather thickness.
  double start(std::size_t lamination) const { return ends[lamination][0]; }
  double end(std::size_t lamination) const { return ends[lamination][1]; }
  bool present(std::size_t lamination, double s) const;

  /// Length of the glue-filled pocket in which the neighbours close over an inner end. [m]
  double pocket_length(std::size_t lamination) const;

  /// Thickness of the lamination where it is present, zero elsewhere. [m]
  double thickness(std::size_t lamination, double s) const;

  /// Depth below the datum of the lamination's back and belly face; only where it is present. [m]
  double back_face_depth(std::size_t lamination, double s) const;
  double belly_face_depth(std::size_t lamination, double s) const;

  /// Whole stack at s, glue included. [m]
  double stack(double s) const;
  /// Depths of the outermost faces present at s: back (<= 0 for an overlay), belly. [m]
  double outer_back_depth(double s) const;
  double outer_belly_depth(double s) const;

  double lean(double s) const;            //!< [rad] of the back
  Point2 back(double s) const;            //!< [m] datum
  Point2 place(double s, double depth) const; //!< [m] reference place
  double width(double s, double depth) const; //!< [m] local width of the section
  double width(double s) const { return limb.width.at(s); }

  /// Reference direction of the grain in a lamination: angle [rad] of L from the y axis toward +x (run-out included).
  double grain_lean(std::size_t lamination, double s) const;

  /// Mass of the limb [kg], density by lamination and of the glue by line [kg/m3].
  double mass(const std::vector<double> &lamination_density, const std::vector<double> &glue_density) const;

private:
  LimbDescription limb;
  std::size_t datum;                       // index of the lamination whose back face is the datum
  std::vector<std::array<double, 2>> ends; // effective start and end of every lamination
  std::vector<double> arc_station;         // stations where the lean table has a knot, with the places reached there
  std::vector<Point2> arc_place;

  double space(std::size_t lamination, double s) const; // thickness, or what is left of it in the pocket
};
} // namespace limbwright
