#pragma once

#include <filesystem>
#include <functional>
#include <string>
#include <vector>

namespace CLI
{
class App;
}

namespace limbwright
{
// The commands that run one model many times. Each returns an exit code (cases/app/exit_codes.h).

struct SizeOptions
{
  std::filesystem::path case_file;
  std::string weight;        //!< with its unit
  std::string at;            //!< draw length as the case tells it; empty: the case's
  std::string by = "core";   //!< see resizing()
  std::filesystem::path out; //!< of the resized case; empty: the case's name and "-sized.toml"
  bool quiet = false;
};
int size_command(const SizeOptions &options);

struct VaryOptions
{
  std::filesystem::path case_file;
  std::vector<std::string> keys; //!< see parse_varied_key()
  std::string weight;            //!< with its unit; empty: every bow is left as it is
  std::string at;                //!< draw length as the case tells it; empty: the case's
  std::string by = "core";
  std::filesystem::path out; //!< of the table; empty: the case's name and ".vary.csv"
  bool quiet = false;
};
int vary_command(const VaryOptions &options);

/// Adds these commands; the one that is called is left in `command`.
void add_study_commands(CLI::App &app, std::function<int()> &command);
} // namespace limbwright
