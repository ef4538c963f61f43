#pragma once

#include "cases/reader/case.h"

#include <string>

namespace limbwright
{
/// One paragraph: the conditions of use, and what they make of each wood against the standard tests. Empty when nothing is
/// adjusted.
std::string conditions_words(const Case &bow_case);
} // namespace limbwright
