#pragma once

#include "cases/study/scatter.h"

#include <atomic>
#include <functional>
#include <string>
#include <utility>
#include <vector>

namespace limbwright
{
/// What was found of one material's moduli, all of them times one factor. [1]
struct FittedModulus
{
  std::string material;
  double expected = 0.;             //!< standard deviation from the table's value, before anything is measured
  double lowest = 0., highest = 0.; //!< between which it is looked for
  double factor = 1.;
  double known_to = 0.; //!< standard deviation after the measurements

  bool at_bound() const { return factor < lowest * (1. + 1e-3) || factor > highest * (1. - 1e-3); }
  bool implausible() const { return std::abs(factor - 1.) > 2. * expected; }
  /// The measurements tell next to nothing of it.
  bool not_told() const { return known_to > 0.9 * expected; }
};

/// A measurement and what the model makes of it. [N] or [m]
struct FittedMeasurement
{
  std::string words;
  bool weight = true; //!< else a strip's deflection
  double measured = 0., accuracy = 0., before = 0., after = 0.;

  /// In accuracies.
  double off() const { return (after - measured) / accuracy; }
};

struct ModulusFit
{
  bool complete = false, interrupted = false;
  std::string reason; //!< why not
  std::vector<FittedModulus> moduli;
  std::vector<FittedMeasurement> measurements;
  std::vector<std::pair<std::size_t, std::size_t>> not_apart; //!< moduli that the measurements do not tell apart
  Case fitted;
  int solutions = 0;
};

/// Brings a bow that was described as it was built to what was measured on it and its strips: one factor for the moduli of every
/// material, by least squares of what the measurements are off by, in their accuracies, and of the factors' own distance from
/// one, in what is expected of them (the maximum of Bayes' posterior with normal errors): what measurements cannot tell is then
/// left to what is known of the materials. Levenberg and Marquardt's method (More 1978, as in MINPACK and Eigen), bounds by a
/// sine as in MINUIT (James and Roos 1975); a whole solution for every draw and trial, derivatives from DrawnBow. `expected`: its
/// moduli.
ModulusFit fit_moduli(const Case &bow_case, const ScatterSizes &expected, const std::function<void(const std::string &)> &told,
                      const std::atomic<bool> *stop);

/// The text of the case with the fitted moduli; everything else as it stands.
std::string fitted_text(const std::string &case_text, const Case &bow_case, const ModulusFit &fit);

std::string modulus_fit_words(const Case &bow_case, const ModulusFit &fit);
} // namespace limbwright
