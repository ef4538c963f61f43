#pragma once

#include <numbers>

namespace limbwright
{
// Sizes in SI of the units results are told in: divide a value in SI by them.
// Inch, pound and standard gravity are exact by definition (international yard and pound, 1959; CGPM 1901).
inline constexpr double inch = 0.0254;                                   //!< [m]
inline constexpr double thou = inch / 1000.;                             //!< [m]
inline constexpr double millimetre = 1e-3;                               //!< [m]
inline constexpr double pound_mass = 0.45359237;                         //!< [kg]
inline constexpr double ounce_mass = pound_mass / 16.;                   //!< [kg]
inline constexpr double pound_force = pound_mass * 9.80665;              //!< [N]
inline constexpr double foot_pound = pound_force * 12. * inch;           //!< [J]
inline constexpr double psi = pound_force / (inch * inch);               //!< [Pa]
inline constexpr double ksi = 1000. * psi;                               //!< [Pa]
inline constexpr double megapascal = 1e6;                                //!< [Pa]
inline constexpr double gigapascal = 1e9;                                //!< [Pa]
inline constexpr double inch_pound_per_square_inch = pound_force / inch; //!< [J/m2] energy per area
inline constexpr double degree = std::numbers::pi / 180.;                //!< [rad]
inline constexpr double percent = 0.01;                                  //!< [1]
} // namespace limbwright
