#pragma once

#include <limits>

namespace limbwright
{
/// A binding of thread or cloth wound round the limb, turn beside turn, from one station to another. It pulls only, and slides on
/// the limb: one tension all round a turn. What it adds along the limb is left out, as it lies across it.
struct Wrap
{
  double from = 0., to = 0.; //!< [m] stations
  double thickness = 0.;     //!< [m] of thread along the limb: its section over the length that a turn takes
  double modulus = 0.;       //!< [Pa] of the thread; 0: it is left off, but counts for the mesh
  double tension = 0.;       //!< [N/m] per length of limb, with which it was wound
  double strength = std::numeric_limits<double>::quiet_NaN(); //!< [Pa] of the thread; not known: not judged
};
} // namespace limbwright
