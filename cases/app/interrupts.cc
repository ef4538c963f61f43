#include "cases/app/interrupts.h"

#include "cases/app/exit_codes.h"

#include <csignal>

#include <sys/time.h>
#include <unistd.h>

namespace limbwright
{
std::atomic<bool> stop_asked{false};
static_assert(std::atomic<bool>::is_always_lock_free, "the flag is set in a signal handler");

namespace
{
constexpr int signals[] = {SIGINT, SIGTERM, SIGHUP};
std::string words_at_once; // not changed while a handler may read it

// Handlers: only what is safe in one is called.
extern "C" void end_at_once(int)
{
  if (::write(STDERR_FILENO, words_at_once.data(), words_at_once.size()) < 0)
    ::_exit(exit_interrupted); // nobody is left to read it
  ::_exit(exit_interrupted);
}

extern "C" void ask_to_stop(int signal)
{
  if (stop_asked.exchange(true))
    end_at_once(signal);
  itimerval patience{};
  patience.it_value.tv_usec = 800000;
  ::setitimer(ITIMER_REAL, &patience, nullptr);
}

void handle(int signal, void (*handler)(int))
{
  struct sigaction action
  {
  };
  action.sa_handler = handler;
  action.sa_flags = SA_RESTART;
  ::sigaction(signal, &action, nullptr);
}
} // namespace

void listen_for_interrupts(const std::string &last_words)
{
  words_at_once = last_words;
  handle(SIGALRM, end_at_once);
  for (const int signal : signals)
  {
    struct sigaction before
    {
    };
    ::sigaction(signal, nullptr, &before);
    if (signal != SIGHUP || before.sa_handler != SIG_IGN)
      handle(signal, ask_to_stop);
  }
}

bool ignore_interrupts()
{
  for (const int signal : signals)
    handle(signal, SIG_IGN);
  const itimerval none{};
  ::setitimer(ITIMER_REAL, &none, nullptr);
  return !stop_asked;
}
} // namespace limbwright
