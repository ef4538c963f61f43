#pragma once

#include "cases/reader/case.h"
#include "solver/results.h"

#include <string>

namespace limbwright
{
/// A warning where every lamination has reached its strength by the time the bow is braced, which is mostly a slip in the case
/// file, with what to look for; empty where one of them has not, or the bow was not braced.
std::string overstrained_words(const Case &bow_case, const DrawResults &results);
} // namespace limbwright
