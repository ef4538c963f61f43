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

struct PoundsOptions
{
  std::filesystem::path case_file;
  std::string at;          //!< draw length as the case tells it; empty: the case's
  std::string by = "core"; //!< see resizing()
  std::string lose = "3 lbf";
};
int pounds_command(const PoundsOptions &options);

struct BatchOptions
{
  std::filesystem::path case_file;
  int bows = 64;
  unsigned long long seed = 1;
  std::vector<std::string> scatter; //!< see set_scatter()
  std::string aim;                  //!< draw weight aimed at; empty: that of the bow as drawn up
  std::string at;                   //!< draw length as the case tells it; empty: the case's
  std::filesystem::path out;        //!< folder; empty: the case's name and ".batch"
  int processes = 0;                //!< 0: as many as there are processors
  bool quiet = false;
};
int batch_command(const BatchOptions &options);

/// Adds these commands; the one that is called is left in `command`.
void add_study_commands(CLI::App &app, std::function<int()> &command);
} // namespace limbwright
