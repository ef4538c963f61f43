#pragma once

#include "meshing/shape/station_table.h"

#include <limits>
#include <string>
#include <vector>

namespace limbwright
{
/// A draw weight read off a scale.
struct MeasuredWeight
{
  double draw = 0.;     //!< [m] pivot to nocking point
  double weight = 0.;   //!< [N]
  double accuracy = 0.; //!< [N] one standard deviation
};

/// A lamination before it is glued: what calipers and a scale tell, and how far it gives way on two supports under a dead weight
/// in the middle between them. What was not measured is NaN, or an empty table.
struct MeasuredStrip
{
  std::string name;
  std::string lamination;                                       //!< whose place it is for, in either limb
  StationTable thickness;                                       //!< [m] at the limb's stations
  double density = std::numeric_limits<double>::quiet_NaN();    //!< [kg/m3]
  double width = std::numeric_limits<double>::quiet_NaN();      //!< [m] as flexed, before the limb's outline is cut
  double span = std::numeric_limits<double>::quiet_NaN();       //!< [m] between the supports
  double middle = std::numeric_limits<double>::quiet_NaN();     //!< [m] station half way between the supports
  double load = std::numeric_limits<double>::quiet_NaN();       //!< [N]
  double deflection = std::numeric_limits<double>::quiet_NaN(); //!< [m] under the load, from where it lay by itself
  double accuracy = 0.127e-3; //!< [m] of the deflection, one standard deviation; our judgement: 0.005 in

  bool flexed() const { return deflection > 0.; }
};

/// What was measured on a bow or on what it will be made of.
struct Measured
{
  std::vector<MeasuredWeight> weights;
  std::vector<MeasuredStrip> strips;
};
} // namespace limbwright
