#pragma once

#include "cases/reader/keys.h"

#include <vector>

namespace limbwright
{
/// Every table of a case file, in the order in which one would write them.
std::vector<SectionKeys> all_sections();
} // namespace limbwright
