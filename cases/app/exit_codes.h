#pragma once

namespace limbwright
{
/// What the program ends with.
enum ExitCode : int
{
  exit_ok = 0,
  exit_internal = 1,
  exit_usage = 2,
  exit_not_converged = 3,
  exit_cannot_write = 4,
  exit_interrupted = 130
};

inline constexpr const char *exit_codes_text =
    "Exit codes:\n"
    "  0    done\n"
    "  1    error inside the program\n"
    "  2    wrong use, or a bow file with errors; nothing was run\n"
    "  3    a stage did not converge; results were written, marked incomplete\n"
    "  4    results, a file or the answer could not be written\n"
    "  130  interrupted or told to stop (SIGINT, SIGTERM, SIGHUP); earlier results are untouched\n";
} // namespace limbwright
