#pragma once

#include "cases/study/sizing.h"

namespace limbwright
{
/// What to grind, for people. was: the bow before; weight: [N] asked for.
std::string sizing_words(const Case &was, const Resizing &what, const Sizing &sizing, double weight);

/// "add 0.0123 in", "take off 0.0040 in", or of a width its share: what an amount means.
std::string amount_words(const Resizing &what, double amount);
} // namespace limbwright
