#pragma once

#include "cases/reader/case.h"
#include "solver/results.h"

#include <string>

namespace limbwright
{
/// What is told on the terminal when a run has ended: the weight first, then the worst places, then what to keep in mind.
/// Inches and pounds, metric beside; lines of at most 90 letters.
std::string answer(const Case &bow_case, const DrawResults &results);
} // namespace limbwright
