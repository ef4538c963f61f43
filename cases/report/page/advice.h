#pragma once

#include "cases/reader/case.h"
#include "solver/results.h"

#include <string>

namespace limbwright
{
/// What a maker can do with a worst place. Common practice of the trade, in our words, no source.
struct Advice
{
  std::string look;  //!< what to look and listen for on the bow
  std::string helps; //!< what usually helps
};

Advice advice_on(const Case &bow_case, const HotSpot &spot);
} // namespace limbwright
