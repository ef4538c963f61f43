#pragma once

#include "cases/reader/case.h"

#include <string>

namespace limbwright
{
/// What follows from the case before anything is solved, as tables for the bench: lengths, cut list, stack and width by the inch,
/// the form's curve, mass. Inches and thou, metric beside.
std::string derived_bow(const Case &bow_case);
} // namespace limbwright
