#pragma once

#include "materials/law/crushing.h"
#include "materials/law/orthotropic.h"

#include <limits>
#include <map>
#include <optional>
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

/// How wood or bamboo goes on after the proportional limit in compression along the grain; see CrushingLaw.
struct CrushingBehaviour
{
  double yield_ratio = unknown_property;      //!< [1] proportional limit over compression_L
  double hardening_strain = unknown_property; //!< [1]
  double falling = unknown_property;          //!< [Pa] per unit plastic strain; not known: no falling branch
  double fall_from = unknown_property;        //!< [1] plastic strain
  double floor = unknown_property;            //!< [Pa]
};

struct Material
{
  std::string name; //!< the library's short name, or the case's own
  std::string title;
  MaterialKind kind = MaterialKind::wood;
  double density = unknown_property; //!< [kg/m3]
  OrthotropicConstants constants{};
  Strengths strengths;
  CrushingBehaviour crushing;
  double modulus_of_rupture = unknown_property;    //!< [Pa] apparent strength of the standard bending test; no stress limit
  double modulus_of_elasticity = unknown_property; //!< [Pa] apparent, centre load, span/depth 14; information only
  /// Everything else a source gives (values of green wood, energies), SI, by key.
  std::map<std::string, double> further;
  std::map<std::string, PropertySource> sources; //!< by property key, for example "E_L", "tension_L"
};

/// The strength through the thickness and in the plane of L and the thickness, for a lamination cut that way.
double tension_through_thickness(const Material &material, RingOrientation ring);
double compression_through_thickness(const Material &material, RingOrientation ring);
double shear_in_side_view(const Material &material, RingOrientation ring);

/// The law of a wood or bamboo whose crushing strength is known; none for anything else. What the material does not say of the
/// curve is taken as 0.75 of compression_L for the proportional limit (ANC-18, 1951, 2.1001: hardwoods; softwoods 0.80) and
/// 0.1 compression_L/E_L for the hardening strain (our estimate: the plateau is then all but reached at a plastic strain of a
/// third of the elastic one). It falls only if both `falling` and `fall_from` are given.
std::optional<CrushingLaw> crushing_law(const Material &material);

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
