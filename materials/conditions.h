#pragma once

#include "materials/material.h"

#include <optional>
#include <string>
#include <vector>

namespace limbwright
{
/// The conditions a bow is used in, against those of the tests its woods' numbers come from: 12 % moisture, 20 degC, some five
/// minutes to failure, a mean of the species, a beam of 2 x 2 x 28 in. What is absent stays as in the tests.
struct Conditions
{
  std::optional<double> moisture{};    //!< [1] mass of water over mass of dry wood
  std::optional<double> temperature{}; //!< [K]
  std::optional<double> seconds{};     //!< [s] at full draw
  std::optional<double> quality{};     //!< [1] share of pieces that are weaker than this one
  bool size = false;                   //!< whether the back's strength follows the limb's depth and length
};

/// [m] depth and length of the limb that bends, for the size effect.
struct StressedSize
{
  double depth = 0., length = 0.;
};

/// What a condition did to a group of properties; factor 1 where it could do nothing, with the reason.
struct Adjustment
{
  std::string material;   //!< its short name
  std::string cause;      //!< "moisture", "temperature", "time at full draw", "quality", "size"
  std::string properties; //!< keys, with commas
  double factor = 1.;     //!< [1]
  std::string source;     //!< or why it was left
};

/// The material as it is under the conditions; appends what was done. Only wood changes: for bamboo, composites, animal and
/// textile materials there are no data here, and the list says so. A wood's own value follows the moisture only if the condition
/// stated beside it is 12 % moisture. Poisson's ratios, density and energies stay; so do yield_ratio and the hardening strain,
/// hence the proportional limit goes with compression_L.
Material adjusted(const Material &material, const Conditions &conditions, const StressedSize &size,
                  std::vector<Adjustment> &adjustments);

/// How warm or cold a glue is against the temperature its numbers were had at. For no glue of the library are strengths known
/// over the temperature, so that it stays as given; the list says so, and where it is as warm as its "softening_temperature".
/// True then: nothing can be counted on.
bool softens(const Adhesive &adhesive, const Conditions &conditions, std::vector<Adjustment> &adjustments);

/// Wood Handbook 2021 (FPL-GTR-282) eq. 5-3: P_M = P_12 (P_12/P_g)^((12 - M)/(M_p - 12)), M in %; the green value from M_p on.
/// Any unit for both values; moisture and intersection M_p [1]. Not for work to maximum load, toughness or tension across the
/// grain, which need not grow as wood dries.
double at_moisture(double at_12_percent, double green, double intersection, double moisture);

/// Strength of a uniformly bent limb over that of the standard bending test, centre load on 2 x 2 x 28 in (Bohannan 1966, FPL 56:
/// weakest link, m = 18, its form from memory): (h0 L0/(h L (1 + m)))^(1/m).
double size_factor(const StressedSize &size);

/// Strength after `seconds` under load over that of the standard test (300 s): 8 % less for each tenfold time.
double duration_factor(double seconds);

/// Standard normal quantile of a share between 0 and 1.
double normal_quantile(double share);
} // namespace limbwright
