#pragma once

#include <atomic>
#include <string>

namespace limbwright
{
/// Set when the person asks the program to stop.
extern std::atomic<bool> stop_asked;

/// From now on SIGINT, SIGTERM and SIGHUP (unless it is ignored, as under nohup) ask to stop. A second one, or .8 s without an
/// end in order, as while a large matrix is factorised, ends the program at once by exit_interrupted, with these last words on
/// standard error. So whatever is on the disk has to be whole at any moment.
void listen_for_interrupts(const std::string &last_words = "Interrupted.\n");

/// What was asked for is done but for its last act, which must not be cut short: from now on nothing stops the program. False
/// where a stop had been asked for before.
bool ignore_interrupts();
} // namespace limbwright
