#pragma once

#include <string>
#include <string_view>

namespace limbwright
{
/// What a value measures; decides which units are taken and what a pound means.
enum class Dimension
{
  ratio,              //!< [1] a bare number, or with %
  length,             //!< [m]
  angle,              //!< [rad] also a slope written "1 in 20"
  taper,              //!< [1] thickness per length, for example "1.8 thou/in"
  force,              //!< [N] lb and # are pounds of force
  mass,               //!< [kg] lb is a pound of mass
  energy,             //!< [J]
  stress,             //!< [Pa] moduli and strengths; lb in them is a pound of force
  density,            //!< [kg/m3]
  energy_per_area,    //!< [J/m2]
  stiffness_per_area, //!< [Pa/m]
  force_per_length,   //!< [N/m]
  temperature,        //!< [K]
  time,               //!< [s]
  any                 //!< SI base units of whatever was written; a bare lb or # is asked back
};

/// A number with its unit, in SI; or why it could not be had.
struct Quantity
{
  double value = 0.;
  std::string error;     //!< empty when sound; otherwise what is wrong and what to write
  std::string si_unit{}; //!< of the value; empty for a ratio
};

/// Reads "0.043 in", "1 5/16 in", "36 thou", "1.8 thou/in", "12 GPa", "45 #", "2.5 deg", "1 in 20" (where an angle is due).
Quantity parse_quantity(std::string_view text, Dimension dimension);

/// [SI per unit] what a unit of a table's head stands for, for example "in" or "thou"; for units without offset only.
Quantity parse_unit(std::string_view unit, Dimension dimension);

/// A few units one may write, for messages and the key reference, for example "in, thou, mm".
std::string units_of(Dimension dimension);
/// "a length", "a force".
std::string words_of(Dimension dimension);
/// The SI unit in which write_case states such a value: "m", "Pa"; empty for a ratio.
std::string si_unit_of(Dimension dimension);
} // namespace limbwright
