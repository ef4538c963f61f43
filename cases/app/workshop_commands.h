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
// The commands that go out from what was measured in the shop. Each returns an exit code (cases/app/exit_codes.h).

struct MatchOptions
{
  std::filesystem::path case_file;
  std::string weight;        //!< aimed at, with its unit; empty: that of the bow as drawn up
  std::string at;            //!< draw length as the case tells it; empty: the case's
  std::filesystem::path out; //!< of the bow with the strips; empty: the case's name and "-matched.toml"
  bool quiet = false;
};
int match_command(const MatchOptions &options);

struct FitOptions
{
  std::filesystem::path case_file;
  std::vector<std::string> scatter; //!< expected of the moduli, see set_scatter()
  std::filesystem::path out;        //!< of the fitted case; empty: the case's name and "-fitted.toml"
  bool quiet = false;
};
int fit_command(const FitOptions &options);

struct MarginsOptions
{
  std::filesystem::path case_file;
  double index = 0.8;        //!< that no fault may bring any place beyond
  std::string at;            //!< draw length as the case tells it; empty: the case's
  std::filesystem::path out; //!< of the table; empty: the case's name and ".margins.csv"
};
int margins_command(const MarginsOptions &options);

/// Adds these commands; the one that is called is left in `command`.
void add_workshop_commands(CLI::App &app, std::function<int()> &command);
} // namespace limbwright
