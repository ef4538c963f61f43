#pragma once

#include "cases/reader/case.h"
#include "cases/run/progress.h"
#include "solver/results.h"

#include <atomic>
#include <optional>
#include <string>
#include <vector>

namespace limbwright
{
/// A bow with one of its open patches of a given length, at full draw.
struct PatchAtLength
{
  double length = 0.; //!< [m]
  bool complete = false;
  std::string reason;             //!< why not
  double draw_weight = not_known; //!< [N]
  std::optional<PatchEnd> handle_end{}, tip_end{};
  std::optional<Event> buckles{};

  double index() const; //!< [1] the greater of the ends'; zero where neither is there
};

/// What growing costs and frees as an open patch gets longer: real solves, each of them elastic in its glue.
struct PatchLengths
{
  double middle = 0.; //!< [m] station about which the patch is lengthened
  int glue_line = 0;
  std::vector<PatchAtLength> rows; //!< by length, ascending
  bool stopped = false;

  /// [m] the length at which the index reaches one, between two that were solved; nothing where it does not. From there on the
  /// patch may grow by itself.
  std::optional<double> critical() const;
};

/// Open patches of the case's limbs, handle to tip by glue line; of a bow of unlike limbs the upper one's first.
struct PatchName
{
  LimbName limb = LimbName::upper;
  std::size_t glue_line = 0, patch = 0;
};
std::vector<PatchName> open_patches(const Case &bow_case);

/// Draws the bow with the patch at each length, about its own middle, its other patches as they are. Lengths [m], which must
/// leave the patch on the limb and clear of other patches of its line: std::invalid_argument, in a maker's words. Nothing is let
/// down. When *stop becomes true no further one is begun.
PatchLengths solve_patch_lengths(const Case &bow_case, const PatchName &which, std::vector<double> lengths,
                                 const ProgressListener &listener, const std::atomic<bool> *stop);

/// The table and what follows from it, for people.
std::string patch_lengths_words(const Case &bow_case, const PatchLengths &found);
} // namespace limbwright
