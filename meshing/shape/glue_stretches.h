#pragma once

#include "meshing/shape/limb_shape.h"

namespace limbwright
{
/// A stretch of the limb over which two laminations are glued to each other.
struct GlueStretch
{
  std::size_t line = 0;      //!< glue line: that on the back of the belly-side lamination, whose index it has
  std::size_t back = 0;      //!< the lamination on its back side
  double from = 0., to = 0.; //!< [m] stations

  bool reaches(double station) const { return station >= from - same_station && station <= to + same_station; }
};

/// What touches what: every pair of laminations that lie on each other with none between, and where; by line, then from the
/// handle to the tip. Where a lamination has ended, the line on its belly side goes on between its neighbors.
std::vector<GlueStretch> glue_stretches(const LimbShape &shape);

/// The stretch of a glue line that a station lies in; where two meet, the one toward the tip. Null where the line is not there.
const GlueStretch *stretch_at(const std::vector<GlueStretch> &stretches, std::size_t line, double station);

/// Whether a glue line is there from one station to another, whatever lies on its back.
bool runs_through(const std::vector<GlueStretch> &stretches, std::size_t line, double from, double to);
} // namespace limbwright
