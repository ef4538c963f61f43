#include "cases/app/commands.h"
#include "cases/app/exit_codes.h"
#include "cases/app/terminal.h"
#include "cases/reader/embedded_files.h"
#include "cases/report/comparison.h"
#include "cases/report/manifest.h"
#include "cases/report/page/write_page.h"

#include <algorithm>
#include <optional>
#include <stdexcept>

namespace limbwright
{
namespace fs = std::filesystem;

namespace
{
/// The run a folder holds; nothing, after it was told, where it holds none or one that cannot be read.
std::optional<StoredRun> stored_run(const fs::path &folder)
{
  const auto file = folder / results_file_name;
  if (!fs::is_regular_file(file))
  {
    warn("error: " + folder.string() + " is not a results folder: it has no " + results_file_name +
         ". 'limbwright draw FILE' writes one.\n");
    return std::nullopt;
  }
  try
  {
    return read_results_file(file);
  }
  catch (const std::runtime_error &fault)
  {
    warn(std::string("error: ") + fault.what() +
         "\nIf another version of this program wrote it, draw its case.resolved.toml again.\n");
    return std::nullopt;
  }
}

/// The folder's name without ".results", or as it was given where another one has the same.
std::vector<std::string> names_of(const std::vector<fs::path> &folders)
{
  std::vector<std::string> names;
  for (const auto &folder : folders)
  {
    const auto place = fs::absolute(folder).lexically_normal();
    const auto last = place.has_filename() ? place.filename() : place.parent_path().filename();
    names.push_back(last.extension() == ".results" ? last.stem().string() : last.string());
  }
  const auto short_names = names;
  for (std::size_t i = 0; i < names.size(); ++i)
    if (std::count(short_names.begin(), short_names.end(), short_names[i]) > 1)
      names[i] = folders[i].string();
  return names;
}
} // namespace

int report_command(const fs::path &folder)
{
  const auto run = stored_run(folder);
  if (!run)
    return exit_usage;
  write_page(folder, *run);
  list_in_manifest(folder, page_file_name);
  tell("Wrote " + (folder / page_file_name).string() + "\n");
  return exit_ok;
}

int compare_command(const CompareOptions &options)
{
  std::vector<StoredRun> runs;
  for (const auto &folder : options.folders)
  {
    auto run = stored_run(folder);
    if (!run)
      return exit_usage;
    runs.push_back(std::move(*run));
  }
  const auto names = names_of(options.folders);
  for (std::size_t i = 0; options.equal_weight && i < runs.size(); ++i)
    if (!(runs[i].results.draw_weight > 0.))
    {
      warn("error: " + names[i] + " was not drawn, so its weight cannot be made equal; leave out --equal-weight\n");
      return exit_usage;
    }
  const auto side_by_side = compared(std::move(runs), names, options.equal_weight);
  const auto page = options.page.empty() ? fs::path("comparison.html") : options.page;
  write_comparison_page(page, side_by_side);
  tell(comparison_table(side_by_side));
  warn("\nThe page is " + page.string() + ".\n");
  return exit_ok;
}

int completion_command()
{
  for (const auto &file : embedded_page())
    if (file.name == "completion.bash")
      tell(file.text);
  return exit_ok;
}
} // namespace limbwright
