#pragma once

#include "cases/reader/case.h"
#include "cases/run/progress.h"
#include "solver/results.h"

#include <atomic>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace limbwright
{
/// A bow with one of its open patches of a given length, at full draw, or as far as it could be drawn.
struct PatchAtLength
{
  double length = 0.; //!< [m]
  bool complete = false;
  std::string reason;             //!< why not
  double reached = not_known;     //!< [m] pivot to nocking point, where it is not complete but could be drawn
  double draw_weight = not_known; //!< [N]
  std::optional<PatchEnd> handle_end{}, tip_end{};
  std::optional<Event> buckles{};

  const PatchEnd *worse_end() const; //!< the end of the greater index; null where neither is there
  double index() const;              //!< [1] its index; zero where there is none
  bool could_grow() const { return index() >= 1.; }
  /// It goes to full draw without growing. What did neither, nor could grow as far as it went, says nothing.
  bool holds() const { return complete && !could_grow(); }
};

/// What growing costs and frees as an open patch gets longer: real solves, each of them elastic in its glue.
struct PatchLengths
{
  LimbName limb = LimbName::upper;
  double middle = 0.; //!< [m] station about which the patch is lengthened
  int glue_line = 0;
  std::vector<PatchAtLength> rows; //!< by length, ascending
  bool stopped = false;

  /// [m] the longest patch that its bounds let pass there, from the sound bow, see margin_map(); not known: none is limited, or
  /// the place is near an end.
  double bound = not_known;

  /// [m] the longest patch that holds below the shortest that could grow, and that one; nothing where either is missing. Between
  /// the two the patch begins to grow by itself. They are not interpolated: a layer that is about to buckle takes the index from
  /// a few tenths past one within a tenth of the length.
  std::optional<std::pair<double, double>> critical() const;
};

/// Open patches of the case's limbs, handle to tip by glue line; of a bow of unlike limbs the upper one's first.
struct PatchName
{
  LimbName limb = LimbName::upper;
  std::size_t glue_line = 0, patch = 0;
};
std::vector<PatchName> open_patches(const Case &bow_case);

/// Draws the bow with the patch at each length, about its own middle, its other patches as they are; then at some between the two
/// that critical() gives, until those are within a tenth. Lengths [m], which must
/// leave the patch on its glue line, whatever lies on the line's back there, and clear of its other patches:
/// std::invalid_argument, in a maker's words. Nothing is let down. When *stop becomes true no further one is begun.
PatchLengths solve_patch_lengths(const Case &bow_case, const PatchName &which, std::vector<double> lengths,
                                 const ProgressListener &listener, const std::atomic<bool> *stop);

/// PatchLengths::bound: [m] by the worst inch at its middle.
double patch_bound(const Case &bow_case, const PatchName &which, const std::atomic<bool> *stop);

/// The table and what follows from it, for people.
std::string patch_lengths_words(const Case &bow_case, const PatchLengths &found);
} // namespace limbwright
