#pragma once

#include "cases/study/bow_figures.h"
#include "cases/study/resize.h"

#include <atomic>
#include <optional>

namespace limbwright
{
/// Sizes for which changes are told: a light scraping, and a stroke of the plane on the side.
inline constexpr double scraping = 0.005 * 0.0254; //!< [m] of thickness
inline constexpr double narrowing = 0.0254 / 32.;  //!< [m] of whole width

/// What taking wood off at one inch of the limb does, to first order. The change falls to nothing an inch to either side.
struct InchEffect
{
  LimbName limb = LimbName::upper; //!< of like limbs both at once
  double station = 0.;             //!< [m]
  BowFigures thickness;            //!< changes by `scraping` off the stack
  BowFigures width;                //!< changes by `narrowing`
};

/// A way to lose weight.
struct Route
{
  std::string words;       //!< "narrow the limbs"
  std::string how_much;    //!< "5.2 % off every width"; not of sense: what the most of it takes
  bool of_sense = true;    //!< false: it would take more than there is, or hardly changes the weight
  BowFigures change;       //!< for the weight to be lost
  double strain_cost = 0.; //!< [1] change of the larger of belly and back strain over itself
};

struct Pounds
{
  BowFigures base;
  std::vector<InchEffect> inches;
  std::vector<Route> routes; //!< by strain_cost, least first
};

/// From one converged bow, by DrawnBow. what: whose thickness is taken off, alike from each of its laminations; lost: [N] for the
/// routes. Nothing when the bow cannot be drawn; the reason then is in `error`.
std::optional<Pounds> where_pounds_are(const Case &bow_case, const Resizing &what, double lost, std::string &error,
                                       const std::atomic<bool> *stop);

std::string pounds_words(const Case &bow_case, const Resizing &what, const Pounds &pounds, double lost);
} // namespace limbwright
