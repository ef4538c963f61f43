#include "cases/app/read_and_tell.h"

#include "cases/app/terminal.h"

#include <fmt/core.h>

namespace limbwright
{
std::optional<Case> told(ReadOutcome outcome)
{
  for (const auto &warning : outcome.warnings)
    warn("warning: " + format(warning) + "\n");
  for (const auto &error : outcome.errors)
    warn("error: " + format(error) + "\n");
  if (!outcome.read)
    warn(fmt::format("{} error{}; nothing was run and nothing was written.\n", outcome.errors.size(),
                     outcome.errors.size() == 1 ? "" : "s"));
  return std::move(outcome.read);
}
} // namespace limbwright
