#pragma once

#include "solver/model/layered_solid.h"

#include <vector>

namespace limbwright
{
/// Strain and stress at every node, grain axes, order L, N (through the thickness), LN (engineering shear strain): taken at the
/// 2 x 2 Gauss points, where the derivatives of quadratic elements are most accurate (Barlow 1976, Int. J. Numer. Meth. Engng
/// 10:243), extrapolated to the nodes of each element and averaged over the elements of the same lamination. Where wood yields,
/// its law is followed at the nodes from state to state as it is at the points of integration. In a weak zone the stress is the
/// mean over the width, and all strips of a node have one plastic shortening, the greatest. Green-Lagrange strain [1], second
/// Piola-Kirchhoff stress [Pa].
struct NodalFields
{
  std::vector<Eigen::Vector3d> strain, stress; //!< by node
  std::vector<double> crushed;                 //!< [1] by node, plastic shortening along the grain
};

/// crushed_before: NodalFields::crushed of the state before on the way; empty at the beginning.
NodalFields recover_nodal_fields(const LayeredSolid<2> &solid, const Eigen::VectorXd &u,
                                 const std::vector<double> &crushed_before = {});

/// Stress [Pa] along the grain under a strain along the grain alone [1], and the plastic shortening there.
struct FibreStress
{
  double stress, crushed;
};
FibreStress fibre_stress(const LayeredSolid<2> &solid, int lamination, double E_L, double strain, double crushed_before);

/// The straight line through the along-grain strain of a whole cross-section (least squares by area), the laminations' own
/// prestrain (LimbShape::prestrain()) taken off: strain at depth d is axis + slope * d.
struct SectionFit
{
  double station = 0.; //!< [m]
  double axis = 0.;    //!< [1] at the back datum
  double slope = 0.;   //!< [1/m]
  double at(double depth) const { return axis + slope * depth; }
  SectionFit operator-(const SectionFit &other) const { return {station, axis - other.axis, slope - other.slope}; }
};

/// One per column station.
std::vector<SectionFit> fit_sections(const LayeredSolid<2> &solid, const NodalFields &fields);

/// The traction of one glue line at a station, as it is at the nodes and as the mean over a length around it.
struct LineTraction
{
  double station = 0.;                    //!< [m]
  double thickness = 0.;                  //!< [m]
  double peel = 0., shear = 0.;           //!< [Pa]
  double mean_peel = 0., mean_shear = 0.; //!< [Pa]
  double parted = 0.;                     //!< [1] share of its fracture energy that is spent; 1: open
  double opened = 0.;                     //!< [m] of an open patch: the faces apart beyond its gap
};

/// Tractions of a glue line at its nodes from root to tip; the means run over averaging_length(station) [m], shifted inward at
/// the line's ends.
std::vector<LineTraction> line_tractions(const LayeredSolid<2> &solid, int line, const Eigen::VectorXd &u,
                                         double averaging_length);
} // namespace limbwright
