#pragma once

#include "cases/reader/case.h"
#include "solver/results.h"

#include <map>
#include <string>
#include <vector>

namespace limbwright
{
/// A number of summary.json.
struct SummaryQuantity
{
  std::string key;  //!< with the unit at its end: "draw_weight_N"
  std::string unit; //!< "N"
  double value = 0.;
};

/// All plain numbers of summary.json; masses of the limbs as mass_upper_kg and mass_lower_kg.
std::vector<SummaryQuantity> summary_quantities(const Case &bow_case, const DrawResults &results);

/// What became of a result the case expects.
struct ExpectationOutcome
{
  Expectation expected;
  double found = not_known; //!< NaN when there is no such quantity
  bool met = false;
};
std::vector<ExpectationOutcome> compare_expectations(const Case &bow_case, const DrawResults &results);

/// The text of summary.json. Numbers that are not known are null.
std::string summary_json(const Case &bow_case, const DrawResults &results);
} // namespace limbwright
