#pragma once

#include "cases/reader/case_reader.h"

#include <chrono>
#include <stdexcept>
#include <string>

namespace limbwright::fuzz
{
/// What the reader promises of any text: it is refused with a line, or read and then sound enough to be written and read again,
/// in seconds. True where it was read. Throws std::logic_error where that is broken.
inline bool keeps_promises(const std::string &text)
{
  const auto start = std::chrono::steady_clock::now();
  const ReadOutcome outcome = read_case_text(text, "spoilt.toml");
  if (std::chrono::steady_clock::now() - start > std::chrono::seconds(5))
    throw std::logic_error("reading took more than five seconds");
  if (!outcome.read)
  {
    if (outcome.errors.empty() || outcome.errors.front().line < 1)
      throw std::logic_error("refused without a line");
    return false;
  }
  if (!outcome.errors.empty())
    throw std::logic_error("a case and errors");
  const ReadOutcome again = read_case_text(outcome.read->resolved, "resolved.toml");
  if (!again.read)
    throw std::logic_error("the resolved case is refused: " +
                           (again.errors.empty() ? std::string() : format(again.errors.front())) + "\n" + outcome.read->resolved);
  return true;
}
} // namespace limbwright::fuzz
