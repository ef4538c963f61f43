#pragma once

#include "cases/report/read_results.h"
#include "cases/report/told_units.h"

#include <string>
#include <vector>

namespace limbwright
{
/// Runs side by side.
///
/// At equal draw weight every bow is taken as made wider or narrower everywhere until it weighs what the first one does: weight,
/// string tension, energy and the limb's mass go with the width, while strains, stresses, indices, lengths and set stay as they
/// are. That is exact for a limb cut along its length if everything that bears goes with its width: a string that stretches is
/// taken as stiffer by the same factor (its EA), knots and patches as wider, wraps as stronger. A solid has stresses across the
/// width too, which do not go with it.
struct ComparedRun
{
  std::string name; //!< of its folder
  StoredRun run;
  double width_factor = 1.; //!< [1] 1 unless compared at equal weight
};

/// Names are folders' names without ".results". Throws std::runtime_error where a run was not drawn and weights are to be made
/// equal.
std::vector<ComparedRun> compared(std::vector<StoredRun> runs, const std::vector<std::string> &names, bool at_equal_weight);

/// One line of the comparison, a value for each run; not known where a run has none.
struct ComparedQuantity
{
  std::string name;
  const ToldUnit *unit;
  std::vector<double> values; //!< SI
};
std::vector<ComparedQuantity> compared_quantities(const std::vector<ComparedRun> &runs);

/// "+1.2", "=" where the decimals told hide it, "" where it is not known.
std::string difference_told(double difference, const ToldUnit &unit, Units units);

/// The table for the screen: a column for each run, behind each but the first the difference from the first.
std::string comparison_table(const std::vector<ComparedRun> &runs);
/// What was made equal and how, in words; empty where nothing was.
std::string equal_weight_words(const std::vector<ComparedRun> &runs, Units units);
} // namespace limbwright
