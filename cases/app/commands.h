#pragma once

#include <filesystem>
#include <string>

namespace limbwright
{
// What the program can do. Each returns an exit code (cases/app/exit_codes.h); what goes wrong beyond that is thrown.

struct DrawOptions
{
  std::filesystem::path case_file;
  std::filesystem::path out; //!< empty: the case's name and ".results" in the current folder
  bool quiet = false;
  bool json = false; //!< the summary in place of the answer
};

int draw_command(const DrawOptions &options);
int check_command(const std::filesystem::path &case_file);
/// Copies an example bow into a new file; an empty or unknown name lists them.
int begin_command(const std::string &example, std::filesystem::path file);
int keys_command();
int materials_command(const std::string &name);
} // namespace limbwright
