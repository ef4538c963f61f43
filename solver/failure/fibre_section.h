#pragma once

#include "materials/law/crushing.h"

#include <Eigen/Core>

#include <optional>
#include <vector>

namespace limbwright
{
/// A fibre of a cross-section, along the limb, or a point of it that is only read off (no area).
struct Fibre
{
  double depth = 0., z = 0.;     //!< [m] below the back datum; from the middle of the width
  double area = 0., height = 0.; //!< [m2], [m] of the slice it stands for
  int lamination = 0;
  double prestrain = 0.;          //!< [1] where the section's displacement is none
  double modulus = 0.;            //!< [Pa] along the limb, free across it
  double length_ratio = 1.;       //!< [1] its length over the back's, in the described shape
  double slope = 0.;              //!< [1] at which it runs toward the back, to the tip: a tapered limb's are not parallel
  double growth = 0.;             //!< [1/m] of its area over the area, toward the tip
  std::optional<CrushingLaw> law; //!< when it yields; none: elastic
};

/// How a plane section has moved: a fibre's stretch is 1 + (axis + slope depth + sideways z) / length_ratio.
struct SectionBending
{
  double axis = 0.;     //!< [1] at the back datum
  double slope = 0.;    //!< [1/m] change of curvature, positive toward the target
  double sideways = 0.; //!< [1/m]

  double stretch(double depth, double z, double length_ratio) const
  {
    return 1. + (axis + slope * depth + sideways * z) / length_ratio;
  }
  /// Green-Lagrange strain of the displacement [1].
  double strain(double depth, double z, double length_ratio) const;
};

/// What a section bears: axial force [N], tension positive; moment [N m] of the forces along the limb times their depth below the
/// back datum; the same times z; and the shear force [N], toward the back on the root's side.
struct SectionForces
{
  double axial = 0., moment = 0., moment_sideways = 0., shear = 0.;

  SectionForces operator+(const SectionForces &other) const;
  SectionForces operator*(double factor) const;
};

/// What a section's fibres have gone through.
struct FibreSectionState
{
  std::vector<SectionBending> bending; //!< by lamination
  std::vector<double> crushed;         //!< [1] by fibre, then by point: plastic shortening
  std::vector<double> yielded;         //!< [1] by fibre: fraction of its slice that has yielded
  bool found = true;                   //!< false: no plane section bears the forces
};

/// Stress at a point of a section [Pa].
struct SectionStress
{
  double along = 0.;   //!< second Piola-Kirchhoff, in the point's own law
  double through = 0.; //!< through the thickness
  double shear = 0.;   //!< on the grain plane
  double strain = 0.;  //!< [1] along the limb, prestrain included
  double crushed = 0.; //!< [1]
};

/// A cross-section of plane-section fibres that each follow their own law and history: structural strain, as welded joints are
/// judged by structural stress (Dong 2001, Int. J. Fatigue 23:865). Its forces come from the model's own nodal forces, so that by
/// equilibrium the strain does not depend on the mesh, nor on a singular corner nearby.
///
/// Where glue is open the section is several, each of adjoining laminations with forces of its own (Group).
class FibreSection
{
public:
  /// Laminations [first, last] that move as one plane section.
  struct Group
  {
    int first = 0, last = 0;
    SectionForces forces;
  };

  /// fibres, points: in order from belly to back. curvature [1/m] of the described back; width at the points [m].
  FibreSection(std::vector<Fibre> fibres, std::vector<Fibre> points, std::vector<double> widths, double curvature, bool sideways);

  const std::vector<Fibre> &points() const { return point_list; }

  /// The state in which the fibres bear the forces of the groups, from the state before (empty: never strained). Newton's method
  /// on the axis strain and the bending of each group.
  FibreSectionState solve(const std::vector<Group> &groups, const FibreSectionState &before) const;

  /// Fraction of the section's area that has yielded [1].
  double yielded(const FibreSectionState &state) const;

  /// Stress along the limb, strain and plastic shortening at a point; nothing of the rest.
  SectionStress along(std::size_t point, const FibreSectionState &state) const;

  /// At each point. Shear by the change along the limb of the force of all that lies deeper (Jourawski: Gere and Timoshenko 1997,
  /// sec. 5.8 and 6.2), with the fibres' slopes and growth, which a tapered limb has, and the elastic moduli; what follows a
  /// slope adds its stress turned by it. Exact in a wedge (Michell 1900). Through the thickness what the fibres' forces take to
  /// turn with the curvature (thin curved beam).
  std::vector<SectionStress> stresses(const std::vector<Group> &groups, const FibreSectionState &state) const;

private:
  std::vector<Fibre> fibre_list, point_list;
  std::vector<double> point_width;
  double back_curvature = 0.;
  bool bends_sideways = false;

  FibreStress stress_of(const Fibre &fibre, const SectionBending &bending, double crushed_before) const;
  bool solve_group(const Group &group, const FibreSectionState &before, SectionBending &bending) const;
};
} // namespace limbwright
