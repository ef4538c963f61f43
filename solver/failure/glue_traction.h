#pragma once

#include "solver/model/layered_solid.h"

#include <vector>

namespace limbwright
{
/// The traction of one glue line at a station, as it is at the nodes and as the mean over a length around it.
struct LineTraction
{
  double station = 0.;                              //!< [m]
  double thickness = 0.;                            //!< [m]
  double peel = 0., shear = 0.;                     //!< [Pa]
  double mean_peel = 0., mean_shear = 0.;           //!< [Pa]
  double parted = 0.;                               //!< [1] share of its fracture energy that is spent; 1: open
  double let_go = 0.;                               //!< [1] the same of glue that held to begin with
  double opened = 0.;                               //!< [m] of an open patch: the faces apart beyond its gap
  double shear_across = 0., mean_shear_across = 0.; //!< [Pa] of a solid
  double across = 0.;                               //!< [1] share of half the width
};

/// Where tractions are looked at: at the nodes, or also between those of elements no longer than the averaging length, so that
/// the peak of the mean does not depend on where nodes lie.
enum class Sampling
{
  nodes,
  fine
};

/// Tractions of a glue line, row by row across the width, each from root to tip; the means run over averaging_length [m] along
/// the line, and of a solid as far across it, shifted inward at its ends and edges. A traction jumps where a lamination ends: raw
/// ones are the mean of both sides there, means are taken of each side's own.
template <int dim>
std::vector<LineTraction> line_tractions(const LayeredSolid<dim> &solid, int line, const Eigen::VectorXd &u,
                                         double averaging_length, Sampling sampling = Sampling::nodes);

/// Their means over the width, one per station. Of the side view: the same.
std::vector<LineTraction> over_the_width(const std::vector<LineTraction> &rows);
} // namespace limbwright
