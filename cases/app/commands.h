#pragma once

#include <filesystem>
#include <string>
#include <vector>

namespace limbwright
{
struct Case;

// What the program can do. Each returns an exit code (cases/app/exit_codes.h); what goes wrong beyond that is thrown.

struct DrawOptions
{
  std::filesystem::path case_file;
  std::filesystem::path out; //!< empty: the case's name and ".results" in the current folder
  bool quiet = false;
  bool resume = false;   //!< go on from where a draw was broken off
  int dimension = 0;     //!< in place of the case's; 0: as the case says
  bool json = false;     //!< the summary in place of the answer
  bool no_sound = false; //!< a bow with flaws is not drawn without them
  bool pictures = false; //!< have the picture program draw the limb and its glue, and show them in the page
};

struct CompareOptions
{
  std::vector<std::filesystem::path> folders;
  std::filesystem::path page; //!< where the page goes; empty: comparison.html in the current folder
  bool equal_weight = false;
};

struct PatchOptions
{
  std::filesystem::path case_file;
  std::vector<std::string> lengths; //!< with their units
  int number = 0;                   //!< of the patch, from 1; 0: the only one
  bool quiet = false;
};

/// Puts what the options say otherwise into a case, its resolved text included.
void take_over(const DrawOptions &options, Case &bow_case);
int draw_command(const DrawOptions &options);
/// Makes report.html of a results folder again, from its results.h5.
int report_command(const std::filesystem::path &folder);
/// Lays runs side by side: a table on the screen, and a page.
int compare_command(const CompareOptions &options);
/// Prints the completion script of a shell.
int completion_command();
/// Draws the bow with an open patch of its at several lengths.
int patch_command(const PatchOptions &options);
int check_command(const std::filesystem::path &case_file);
/// Copies an example bow into a new file; an empty or unknown name lists them.
int begin_command(const std::string &example, std::filesystem::path file);
int keys_command();
int materials_command(const std::string &name);
} // namespace limbwright
