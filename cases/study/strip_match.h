#pragma once

#include "cases/study/sizing.h"

#include <array>
#include <atomic>
#include <functional>
#include <optional>
#include <string>
#include <vector>

namespace limbwright
{
/// Of one lamination: which of the measured strips goes into which limb.
struct StripPair
{
  std::string lamination;
  std::array<std::size_t, 2> strip{}; //!< upper, lower: index into Case::measured.strips
};

/// A strip and what it does to the bow, to first order, in either limb.
struct StripEffect
{
  double modulus_share = 1.;      //!< [1] its modulus over the material's in use; 1 where it was not flexed
  std::array<double, 2> weight{}; //!< [N] change of the draw weight with it in the upper, the lower limb
  std::array<double, 2> tiller{}; //!< [m] change of the tiller at full draw
};

struct StripMatch
{
  bool complete = false, interrupted = false;
  std::string reason;               //!< why not
  double nominal_weight = 0.;       //!< [N] as drawn up
  double nominal_tiller = 0.;       //!< [m] at full draw
  double aim = 0.;                  //!< [N]
  std::vector<StripEffect> effects; //!< by strip
  std::vector<StripPair> pairs;
  double paired_weight = 0., paired_tiller = 0.; //!< [N], [m] of the bow with them, before anything is ground off
  Resizing core;                                 //!< what is then ground
  std::array<double, 2> amount{};  //!< [m] added to each piece of the core, upper and lower limb; negative: ground off
  bool reached = false;            //!< weight and tiller are those aimed at
  double weight = 0., tiller = 0.; //!< [N], [m] then
  Case built;                      //!< limbs of their own, laminations as measured and ground
  int solutions = 0;
};

/// The bow with two limbs described apart, alike if they were.
Case two_limbed(const Case &bow_case);

/// Pairs measured strips so that the limbs come out alike and the weight is near the one aimed at (all combinations, their
/// effects to first order from one converged bow by DrawnBow), draws the bow with the best pairs, and corrects the core of either
/// limb until weight and tiller are those aimed at, every time a whole solution. aim: [N]; not a number: that of the bow as drawn
/// up. Laminations of which no strips are listed stay as drawn up.
StripMatch match_strips(const Case &bow_case, double aim, const std::function<void(const std::string &)> &told,
                        const std::atomic<bool> *stop);

std::string strip_match_words(const Case &bow_case, const StripMatch &match);
} // namespace limbwright
