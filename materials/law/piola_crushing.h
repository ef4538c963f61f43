#pragma once

#include "materials/law/crushing.h"

namespace limbwright
{
// The crushing law where strains are Green-Lagrange's and stresses the second of Piola and Kirchhoff: a shortening b is a = b -
// b^2 / 2 there, and a load over the first area, divided by the stretch 1 - b, is the stress. The stretch of the elastic part,
// some .3 per cent, is left out. A plateau of that stress itself would be a load that falls by one per cent for each per cent of
// shortening; no test tells that from a plateau, but a belly would give way in its shortest column of elements, and the sooner
// the shorter that column is.

struct PiolaFlow
{
  double stress; //!< [Pa] at which the wood goes on yielding
  double slope;  //!< [Pa] its derivative by the plastic shortening
};

/// At the plastic shortening a [1].
PiolaFlow piola_flow(const CrushingLaw &law, double a);

/// Work of crushing [J/m3]: the integral of the flow stress from 0 to a [1].
double piola_dissipated(const CrushingLaw &law, double a);
} // namespace limbwright
