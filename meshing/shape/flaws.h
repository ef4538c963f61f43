#pragma once

#include "meshing/shape/limb_description.h"

#include <cstddef>
#include <vector>

namespace limbwright
{
class LimbShape;

enum class FlawKind
{
  knot,
  sloping_grain, //!< a stretch whose grain slopes otherwise than the rest's
  weak_glue      //!< a starved or open patch of a glue line
};

/// One thing that is wrong with a limb, as it was described.
struct Flaw
{
  FlawKind kind = FlawKind::knot;
  int number = 0;            //!< index among the description's knots, regions, or patches of its glue line
  int lamination = -1;       //!< index, or -1
  int glue_line = -1;        //!< index, or -1
  double from = 0., to = 0.; //!< [m] stations
  double beside = 0.; //!< [m] to either side of it that still counts as near it: a knot's size, at least the stack's thickness

  bool near(double station) const { return station >= from - beside && station <= to + beside; }
};

/// What is wrong with a limb: knots, stretches of sloping grain, patches of glue from belly to back. The same list whether the
/// limb is told sound or not.
std::vector<Flaw> flaws(const LimbShape &shape);

/// Whether what is found at a station counts for flaw i of that list: it lies near it, and, of a stretch of sloping grain, near
/// no knot, which would be taken for the stretch.
bool counts_for(const std::vector<Flaw> &list, std::size_t i, double station);

/// Whether there is anything in that list.
bool flawed(const LimbDescription &limb);
} // namespace limbwright
