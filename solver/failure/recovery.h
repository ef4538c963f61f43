#pragma once

#include "solver/model/layered_solid.h"

#include <map>
#include <vector>

namespace limbwright
{
/// Plastic shortening along the grain [1].
struct Crushed
{
  std::vector<double> at_node;                 //!< by node; in a weak zone the greatest of its strips
  std::map<int, std::vector<double>> of_strip; //!< by node of a weak zone: of each of LayeredSolid::weak_parts_at()
};

/// Strain and stress at every node, grain axes, in the order of LayeredSolid (L first, LN last): taken at the 2 x 2 (x 2) Gauss
/// points, where the derivatives of quadratic elements are most accurate (Barlow 1976, Int. J. Numer. Meth. Engng
/// 10:243), extrapolated to the nodes of each element and averaged over the elements of the same lamination. Where wood yields,
/// its law is followed at the nodes from state to state as it is at the points of integration, in a weak zone by each strip of
/// the width for itself; the stress there is the mean over the width. Beside a knot in wood that yields the side view's strain is
/// a mean along the limb (gathered_strain.h). Green-Lagrange strain [1], second Piola-Kirchhoff stress [Pa].
template <int dim>
struct NodalFieldsOf
{
  std::vector<typename LayeredSolid<dim>::Strain> strain, stress; //!< by node
  Crushed crushed;
  std::vector<bool> structural; //!< by node, empty: none: the values are those of a plane section (fibre_section.h)
};
using NodalFields = NodalFieldsOf<2>; //!< of the side view

/// crushed_before: of the state before on the way; empty at the beginning.
template <int dim>
NodalFieldsOf<dim> recover_nodal_fields(const LayeredSolid<dim> &solid, const Eigen::VectorXd &u,
                                        const Crushed &crushed_before = {});

/// The plane through the along-grain strain of a whole cross-section (least squares by area), the laminations' own prestrain
/// (LimbShape::prestrain()) taken off: strain at depth d and z across is axis + slope * d + sideways * z.
struct SectionFit
{
  double station = 0.;  //!< [m]
  double axis = 0.;     //!< [1] at the back datum
  double slope = 0.;    //!< [1/m]
  double sideways = 0.; //!< [1/m] zero in the side view, and of a solid that is half as wide
  double at(double depth, double z = 0.) const { return axis + slope * depth + sideways * z; }
  SectionFit operator-(const SectionFit &other) const
  {
    return {station, axis - other.axis, slope - other.slope, sideways - other.sideways};
  }
};

/// One per column station.
template <int dim>
std::vector<SectionFit> fit_sections(const LayeredSolid<dim> &solid, const NodalFieldsOf<dim> &fields);
} // namespace limbwright
