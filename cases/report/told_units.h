#pragma once

#include "cases/report/output_units.h"

#include <fmt/format.h>

#include <cmath>
#include <string>

namespace limbwright
{
/// Which units a text for people is told in.
enum class Units
{
  trade, //!< inch, pound
  metric
};

/// A kind of quantity: its two units, their sizes in SI and the decimals that are told.
struct ToldUnit
{
  const char *trade;
  double trade_size;
  int trade_decimals;
  const char *metric;
  double metric_size;
  int metric_decimals;

  const char *name(Units units) const { return units == Units::trade ? trade : metric; }
  double size(Units units) const { return units == Units::trade ? trade_size : metric_size; }
  int decimals(Units units) const { return units == Units::trade ? trade_decimals : metric_decimals; }
};

inline constexpr ToldUnit told_draw = {"in", inch, 1, "mm", millimetre, 0};      //!< draw lengths, stations
inline constexpr ToldUnit told_length = {"in", inch, 2, "mm", millimetre, 0};    //!< brace height, set
inline constexpr ToldUnit told_thickness = {"in", inch, 3, "mm", millimetre, 2}; //!< laminations, widths
inline constexpr ToldUnit told_force = {"lb", pound_force, 1, "N", 1., 0};       //!< draw weight
inline constexpr ToldUnit told_tension = {"lb", pound_force, 0, "N", 1., 0};     //!< of the string
inline constexpr ToldUnit told_rise = {"lb per in", pound_force / inch, 2, "N/m", 1., 0};
inline constexpr ToldUnit told_energy = {"ft-lb", foot_pound, 1, "J", 1., 1};
inline constexpr ToldUnit told_energy_per_force = {"ft-lb per lb", foot_pound / pound_force, 2, "J/N", 1., 3};
inline constexpr ToldUnit told_mass = {"oz", ounce_mass, 1, "g", 1e-3, 0};
inline constexpr ToldUnit told_stress = {"ksi", ksi, 1, "MPa", megapascal, 0};      //!< along the grain
inline constexpr ToldUnit told_glue_stress = {"psi", psi, 0, "MPa", megapascal, 2}; //!< in glue, and across the grain
inline constexpr ToldUnit told_strain = {"%", percent, 2, "%", percent, 2};
inline constexpr ToldUnit told_curvature = {"1/in", 1. / inch, 4, "1/m", 1., 3};
inline constexpr ToldUnit told_modulus = {"Msi", 1000. * ksi, 2, "GPa", gigapascal, 1};
inline constexpr ToldUnit told_density = {"lb/ft3", pound_mass / (12. * inch * 12. * inch * 12. * inch), 1, "kg/m3", 1., 0};

inline constexpr ToldUnit told_used = {"%", percent, 0, "%", percent, 0}; //!< an index, as people read it: of a strength

/// "12.3 lb", or "not known".
inline std::string told(double value, const ToldUnit &kind, Units units)
{
  if (!std::isfinite(value))
    return "not known";
  auto text = fmt::format("{:.{}f}", value / kind.size(units), kind.decimals(units));
  if (*kind.name(units) != '\0')
    text += std::string(" ") + kind.name(units);
  return text;
}
} // namespace limbwright
