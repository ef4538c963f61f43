#pragma once

#include "cases/reader/case.h"
#include "solver/results.h"

#include <string>

namespace limbwright
{
/// Whether a spot, or what happened, lies on the plane of a split and not in glue.
bool in_split(const Case &bow_case, const HotSpot &spot);
bool in_split(const Case &bow_case, const Event &event);

/// "split in NAME", of the lamination that a split parts at this belly-side piece.
std::string split_name(const LimbDescription &limb, int line);

/// How it fails, in the words of where it does: mode_words(), of a split its own.
std::string failure_words(const Case &bow_case, const HotSpot &spot);

/// What happened: event_words(), of a split its own.
std::string happening_words(const Case &bow_case, const Event &event);
} // namespace limbwright
