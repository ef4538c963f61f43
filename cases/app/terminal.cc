#include "cases/app/terminal.h"

#include "cases/study/pieces_done.h"

#include "cases/report/output_units.h"

#include <fmt/core.h>

#include <algorithm>
#include <cerrno>
#include <cstdio>
#include <cstring>

#include <unistd.h>

namespace limbwright
{
void tell(const std::string &text)
{
  errno = 0;
  if (std::fwrite(text.data(), 1, text.size(), stdout) != text.size() || std::fflush(stdout) != 0)
    throw OutputFailed(std::strerror(errno), errno == EPIPE);
}

void warn(const std::string &text)
{
  std::fwrite(text.data(), 1, text.size(), stderr);
  std::fflush(stderr);
}

std::optional<double> TimeLeft::after(const ProgressEvent &event, double now)
{
  if (event.step <= last_step || last_step == 0)
  {
    first_step = event.step;
    first_time = now;
  }
  last_step = event.step;
  if (event.step == first_step)
    return std::nullopt;
  return (now - first_time) / (event.step - first_step) * (event.n_steps - event.step);
}

std::string progress_text(const ProgressEvent &event, double convention_offset, bool with_bar, std::optional<double> seconds_left)
{
  std::string text = fmt::format("{:<13} ", event.stage);
  if (with_bar)
  {
    constexpr int length = 24;
    const int n_steps = std::max(1, event.n_steps);
    const int done = length * std::clamp(event.step, 0, n_steps) / n_steps;
    text +=
        "[" + std::string(static_cast<std::size_t>(done), '=') + std::string(static_cast<std::size_t>(length - done), ' ') + "] ";
  }
  text += fmt::format("step {} of {}", event.step, event.n_steps);
  if (event.draw > 0.)
    text += fmt::format(", string at {:.1f} in", (event.draw + convention_offset) / inch);
  if (event.n_following > 0)
    text += fmt::format(", following a loose layer or opening glue ({} small steps)", event.n_following);
  if (seconds_left && *seconds_left >= 0.5)
    text += left_words(*seconds_left);
  return text;
}

ProgressDisplay::ProgressDisplay(double convention_offset) : offset(convention_offset), terminal(::isatty(STDERR_FILENO) == 1)
{
}

ProgressDisplay::~ProgressDisplay()
{
  if (shown > 0)
    warn("\r" + std::string(shown, ' ') + "\r");
}

void ProgressDisplay::operator()(const ProgressEvent &event)
{
  const double now = std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch()).count();
  const auto text = progress_text(event, offset, terminal, event.n_following > 0 ? std::nullopt : left.after(event, now));
  if (!terminal)
  {
    warn(text + "\n");
    return;
  }
  const auto blanks = shown > text.size() ? shown - text.size() : 0;
  warn("\r" + text + std::string(blanks, ' '));
  shown = text.size();
}
} // namespace limbwright
