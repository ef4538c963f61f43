#pragma once

#include <atomic>

namespace limbwright
{
/// Set when the person asks the program to stop.
extern std::atomic<bool> stop_asked;

/// The first interrupt ends the run in order; a second one ends the program at once.
void listen_for_interrupts();
} // namespace limbwright
