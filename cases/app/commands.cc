#include "cases/app/commands.h"
#include "cases/app/ranks.h"

#include "cases/app/exit_codes.h"
#include "cases/app/interrupts.h"
#include "cases/app/kept_path.h"
#include "cases/app/make_pictures.h"
#include "cases/app/read_and_tell.h"
#include "cases/app/terminal.h"
#include "cases/reader/case_reader.h"
#include "cases/reader/embedded_files.h"
#include "cases/reader/key_reference.h"
#include "cases/reader/material_library.h"
#include "cases/reader/units.h"
#include "cases/report/answer.h"
#include "cases/report/derived_bow.h"
#include "cases/report/material_tables.h"
#include "cases/report/page/write_page.h"
#include "cases/report/results_folder.h"
#include "cases/report/summary.h"
#include "cases/report/text_file.h"
#include "cases/report/write_results.h"
#include "cases/run/run_beside.h"
#include "cases/study/case_edit.h"
#include "cases/study/patch_lengths.h"

#include <fmt/core.h>

#include <algorithm>
#include <stdexcept>

namespace limbwright
{
namespace
{
/// What a task gives that tells its progress to a listener; shown while it runs, and cleared before its result is told.
template <class Task>
auto with_progress(const Case &bow_case, bool quiet, const Task &task)
{
  if (quiet)
    return task(ProgressListener());
  ProgressDisplay display(convention_offset(bow_case));
  return task([&display](const ProgressEvent &event) { display(event); });
}

std::string earlier_untouched(const ResultsFolder &folder)
{
  return folder.replaces_earlier() ? "The earlier results in " + folder.target().string() + " are untouched.\n"
                                   : "No results were written.\n";
}

int draw_as_another_rank(const Case &bow_case, const std::filesystem::path &out, bool resume)
{
  KeptPath kept(out, bow_case, resume);
  const DrawResults results =
      run_draw_beside(bow_case, ResultsFolder::place_of(out) / fields_folder, nullptr, &stop_asked, kept.keeping());
  kept.end(results.complete); // once the first rank has all on the disk
  return exit_ok;
}

std::string list_of_examples()
{
  std::string text = "Example bows:\n";
  for (const auto &example : embedded_examples())
  {
    const auto outcome = read_case_text(example.text, example.name + ".toml");
    text += fmt::format("  {:<28}{}\n", example.name, outcome.read ? outcome.read->title : std::string());
  }
  return text + "'limbwright begin EXAMPLE FILE' copies one into a new bow file.\n";
}
} // namespace

void take_over(const DrawOptions &options, Case &bow_case)
{
  const auto resolve = [&](const std::string &path, const std::string &value)
  {
    std::string &text = bow_case.resolved;
    text = with_value(text, path, value).text;
    // What the command line says is no default.
    const std::string mark = " # default", written = path.substr(path.find('.') + 1) + " = " + written_at(text, path);
    if (const auto at = text.find(written + mark); at != std::string::npos)
      text.erase(at + written.size(), mark.size());
  };
  if (options.dimension != 0)
  {
    bow_case.solve.dimension = options.dimension;
    resolve("solve.dimension", std::to_string(options.dimension));
  }
  if (options.no_sound)
  {
    bow_case.solve.sound_beside = SoundBeside::never;
    resolve("solve.sound_beside", "no");
  }
}

int draw_command(const DrawOptions &options)
{
  RunRecord record;
  record.started = std::chrono::system_clock::now();
  auto bow_case = told(read_case(options.case_file));
  if (!bow_case)
    return exit_usage;
  take_over(options, *bow_case);
  const std::filesystem::path out = options.out.empty() ? std::filesystem::path(bow_case->name + ".results") : options.out;
  listen_for_interrupts(
      "Interrupted at once. Earlier results are untouched. If a file with the folder's name and .begun.h5 is left,\n"
      "resume from it with --resume.\n");
  // Under mpirun a solid is solved by all ranks together; each writes its own columns' fields, the first one all else.
  if (rank_under_mpirun() > 0)
    return bow_case->solve.dimension == 3 ? draw_as_another_rank(*bow_case, out, options.resume) : exit_ok;
  KeptPath kept(out, *bow_case, options.resume);
  ResultsFolder folder(out);
  DrawResults results;
  try
  {
    results =
        with_progress(*bow_case, options.quiet,
                      [&](const ProgressListener &listener) {
                        return run_draw_beside(*bow_case, folder.place() / fields_folder, listener, &stop_asked, kept.keeping());
                      });
    const auto interrupted = [&]
    {
      warn("Interrupted. " + earlier_untouched(folder) + kept.how_to_go_on());
      kept.end(false);
      return exit_interrupted;
    };
    if (stop_asked)
      return interrupted();
    write_results(folder.place(), *bow_case, results);
    if (options.pictures)
      make_pictures(folder.place());
    write_page(folder.place());
    close_results(folder.place(), *bow_case, results, record);
    folder.flush();
    if (!ignore_interrupts())
      return interrupted();
    folder.swap_in();
  }
  catch (const CannotResume &)
  {
    throw;
  }
  catch (...)
  {
    warn("The run failed. " + earlier_untouched(folder) + kept.how_to_go_on());
    throw;
  }
  kept.end(results.complete);
  tell(options.json ? summary_json(*bow_case, results) : answer(*bow_case, results));
  warn(kept.how_to_go_on());
  if (!options.quiet)
    warn("\nResults are in " + folder.target().string() + "; start with report.html there.\n");
  return results.complete ? exit_ok : exit_not_converged;
}

int patch_command(const PatchOptions &options)
{
  const auto bow_case = told(read_case(options.case_file));
  if (!bow_case)
    return exit_usage;
  std::vector<double> lengths;
  for (const std::string &text : options.lengths)
  {
    const Quantity length = parse_quantity(text, Dimension::length);
    if (!length.error.empty() || !(length.value > 0.))
    {
      warn("error: --length '" + text + "': " + (length.error.empty() ? "must be more than 0" : length.error) + "\n");
      return exit_usage;
    }
    lengths.push_back(length.value);
  }
  const auto patches = open_patches(*bow_case);
  if (patches.empty() || (options.number == 0 && patches.size() > 1) || options.number < 0 ||
      options.number > static_cast<int>(patches.size()))
  {
    warn(patches.empty() ? "error: the bow has no open patch; write one as [[glue.patch]] with strength = 0\n"
                         : fmt::format("error: the bow has {} open patches; choose one with --number 1 to {}\n", patches.size(),
                                       patches.size()));
    return exit_usage;
  }
  listen_for_interrupts();
  try
  {
    const PatchName &which = patches[static_cast<std::size_t>(std::max(1, options.number) - 1)];
    PatchLengths found = with_progress(*bow_case, options.quiet,
                                       [&](const ProgressListener &listener)
                                       { return solve_patch_lengths(*bow_case, which, lengths, listener, &stop_asked); });
    if (!found.stopped)
      found.bound = patch_bound(*bow_case, which, &stop_asked);
    tell(patch_lengths_words(*bow_case, found));
    if (found.stopped)
      return exit_interrupted;
    return std::all_of(found.rows.begin(), found.rows.end(), [](const PatchAtLength &row) { return row.complete; })
               ? exit_ok
               : exit_not_converged;
  }
  catch (const std::invalid_argument &fault)
  {
    warn(std::string("error: ") + fault.what() + "\n");
    return exit_usage;
  }
}

int check_command(const std::filesystem::path &case_file)
{
  const auto bow_case = told(read_case(case_file));
  if (!bow_case)
    return exit_usage;
  tell(derived_bow(*bow_case));
  return exit_ok;
}

int begin_command(const std::string &example, std::filesystem::path file)
{
  if (example.empty())
  {
    tell(list_of_examples());
    return exit_ok;
  }
  for (const auto &known : embedded_examples())
    if (known.name == example)
    {
      if (file.empty())
        file = example + ".toml";
      write_text_file(file, known.text, Existing::refuse);
      tell("Wrote " + file.string() + ". Next: limbwright check " + file.string() + "\n");
      return exit_ok;
    }
  warn("There is no example '" + example + "'.\n" + list_of_examples());
  return exit_usage;
}

int keys_command()
{
  tell(key_reference());
  return exit_ok;
}

int materials_command(const std::string &name)
{
  const auto &materials = library_materials();
  const auto &adhesives = library_adhesives();
  const auto material = materials.find(name);
  const auto adhesive = adhesives.find(name);
  if (name.empty())
    tell(materials_list(materials, adhesives));
  else if (material != materials.end())
    tell(material_table(material->second));
  else if (adhesive != adhesives.end())
    tell(adhesive_table(adhesive->second));
  else
  {
    warn("There is no material or adhesive '" + name + "' in the library. 'limbwright materials' lists them.\n");
    return exit_usage;
  }
  return exit_ok;
}
} // namespace limbwright
