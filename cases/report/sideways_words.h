#pragma once

#include "cases/reader/case.h"
#include "solver/results.h"

#include <string>

namespace limbwright
{
/// How the bow stands sideways, where the case asked for it.
std::string sideways_words(const Case &bow_case, const DrawResults &results);
} // namespace limbwright
