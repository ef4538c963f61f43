#include "cases/app/interrupts.h"

#include <csignal>

namespace limbwright
{
std::atomic<bool> stop_asked{false};
static_assert(std::atomic<bool>::is_always_lock_free, "the flag is set in a signal handler");

namespace
{
extern "C" void ask_to_stop(int)
{
  stop_asked = true;
}
} // namespace

void listen_for_interrupts()
{
  struct sigaction action
  {
  };
  action.sa_handler = ask_to_stop;
  action.sa_flags = SA_RESETHAND | SA_RESTART;
  ::sigaction(SIGINT, &action, nullptr);
  ::sigaction(SIGTERM, &action, nullptr);
}
} // namespace limbwright
