#pragma once

#include "cases/reader/case_reader.h"

namespace limbwright
{
/// The case that was read, or nothing, after warnings and every error were told.
std::optional<Case> told(ReadOutcome outcome);
} // namespace limbwright
