#pragma once

#include "cases/run/progress.h"

#include <chrono>
#include <optional>
#include <stdexcept>
#include <string>

namespace limbwright
{
/// The answer could not be written to standard output.
class OutputFailed : public std::runtime_error
{
public:
  OutputFailed(const std::string &reason, bool reader_left)
      : std::runtime_error("cannot write to standard output: " + reason), reader_gone(reader_left)
  {
  }
  bool reader_gone; //!< the other end of a pipe was closed, as by "| head"
};

/// Writes to standard output and sees that it arrives. Throws OutputFailed.
void tell(const std::string &text);

/// Writes a message to standard error; nothing can be done if that fails.
void warn(const std::string &text);

/// How long the steps of a stage still to come will take, if they take as long as those done.
class TimeLeft
{
public:
  /// After an event, at a time [s] on any clock: the time left [s]; nothing with the first step of a stage, whose beginning was
  /// not seen.
  std::optional<double> after(const ProgressEvent &event, double now);

private:
  int first_step = 0, last_step = 0; // of the stage at hand
  double first_time = 0.;
};

/// Shows progress on standard error: a bar that is drawn anew on a terminal, a line for each step elsewhere.
class ProgressDisplay
{
public:
  /// convention_offset [m] is added to the draw length when it is told.
  explicit ProgressDisplay(double convention_offset);
  ~ProgressDisplay(); //!< clears the bar
  ProgressDisplay(const ProgressDisplay &) = delete;
  ProgressDisplay &operator=(const ProgressDisplay &) = delete;
  void operator()(const ProgressEvent &event);

private:
  double offset;
  bool terminal;
  TimeLeft left;
  std::size_t shown = 0; // letters of the bar's line
};

/// One line about an event, with a bar when asked for and the time left [s] where it is known.
std::string progress_text(const ProgressEvent &event, double convention_offset, bool with_bar,
                          std::optional<double> seconds_left);
} // namespace limbwright
