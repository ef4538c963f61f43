#pragma once

#include "materials/law/orthotropic.h"

#include <limits>
#include <map>
#include <string>

namespace limbwright
{
inline constexpr double unknown_property = std::numeric_limits<double>::quiet_NaN();

/// Where a number comes from; says how far it may be trusted.
enum class Provenance
{
  table,    //!< a published table or standard, looked up
  measured, //!< a published measurement, looked up
  derived,  //!< computed from values with a source, by a stated rule
  estimate, //!< engineering judgement
  memory    //!< recalled, not looked up; or common practice without a source
};

struct PropertySource
{
  Provenance provenance = Provenance::estimate;
  std::string source;     //!< author, year, table or equation
  std::string conditions; //!< moisture, specimen, direction; may be empty
};

enum class MaterialKind
{
  wood,
  bamboo,
  composite, //!< glass or carbon fibre in resin
  animal,    //!< sinew, rawhide, horn
  textile
};

/// Strengths are positive stresses [Pa]; a strength that is not known is unknown_property and its index is not formed.
struct Strengths
{
  double tension_L = unknown_property;
  double compression_L = unknown_property; //!< crushing strength
  double tension_R = unknown_property;
  double compression_R = unknown_property;
  double tension_T = unknown_property;
  double compression_T = unknown_property;
  double shear_LR = unknown_property;
  double shear_LT = unknown_property;
  double shear_RT = unknown_property; //!< rolling shear
};

struct Material
{
  std::string name; //!< the library's short name, or the case's own
  std::string title;
  MaterialKind kind = MaterialKind::wood;
  double density = unknown_property; //!< [kg/m3]
  OrthotropicConstants constants{};
  Strengths strengths;
  double modulus_of_rupture = unknown_property;    //!< [Pa] apparent strength of the standard bending test; no stress limit
  double modulus_of_elasticity = unknown_property; //!< [Pa] apparent, centre load, span/depth 14; information only
  /// Everything else a source gives (yield ratio, moisture, energies), SI, by key.
  std::map<std::string, double> further;
  std::map<std::string, PropertySource> sources; //!< by property key, for example "E_L", "tension_L"
};

/// The strength through the thickness and in the plane of L and the thickness, for a lamination cut that way.
double tension_through_thickness(const Material &material, RingOrientation ring);
double compression_through_thickness(const Material &material, RingOrientation ring);
double shear_in_side_view(const Material &material, RingOrientation ring);

struct Adhesive
{
  std::string name;
  std::string title;
  double density = unknown_property;           //!< [kg/m3]
  double youngs_modulus = unknown_property;    //!< [Pa]
  double shear_modulus = unknown_property;     //!< [Pa]
  double tensile_strength = unknown_property;  //!< [Pa] peel
  double shear_strength = unknown_property;    //!< [Pa]
  double fracture_energy_I = unknown_property; //!< [J/m2]
  double fracture_energy_II = unknown_property;
  std::map<std::string, double> further;
  std::map<std::string, PropertySource> sources;
};
} // namespace limbwright
