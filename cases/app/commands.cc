#include "cases/app/commands.h"

#include "cases/app/exit_codes.h"
#include "cases/app/interrupts.h"
#include "cases/app/read_and_tell.h"
#include "cases/app/terminal.h"
#include "cases/reader/case_reader.h"
#include "cases/reader/embedded_files.h"
#include "cases/reader/key_reference.h"
#include "cases/reader/material_library.h"
#include "cases/report/answer.h"
#include "cases/report/derived_bow.h"
#include "cases/report/material_tables.h"
#include "cases/report/results_folder.h"
#include "cases/report/summary.h"
#include "cases/report/text_file.h"
#include "cases/report/write_results.h"
#include "cases/run/run.h"

#include <fmt/core.h>

namespace limbwright
{
namespace
{
DrawResults run(const Case &bow_case, const std::filesystem::path &fields, bool quiet)
{
  if (quiet)
    return run_draw(bow_case, fields, {}, &stop_asked);
  ProgressDisplay display(convention_offset(bow_case));
  return run_draw(
      bow_case, fields, [&display](const ProgressEvent &event) { display(event); }, &stop_asked);
}

std::string earlier_untouched(const ResultsFolder &folder)
{
  return folder.replaces_earlier() ? "The earlier results in " + folder.target().string() + " are untouched.\n"
                                   : "No results were written.\n";
}

std::string list_of_examples()
{
  std::string text = "Example bows:\n";
  for (const auto &example : embedded_examples())
  {
    const auto outcome = read_case_text(example.text, example.name + ".toml");
    text += fmt::format("  {:<28}{}\n", example.name, outcome.read ? outcome.read->title : std::string());
  }
  return text + "'limbwright begin EXAMPLE FILE' copies one into a new case file.\n";
}
} // namespace

int draw_command(const DrawOptions &options)
{
  RunRecord record;
  record.started = std::chrono::system_clock::now();
  const auto bow_case = told(read_case(options.case_file));
  if (!bow_case)
    return exit_usage;
  ResultsFolder folder(options.out.empty() ? std::filesystem::path(bow_case->name + ".results") : options.out);
  listen_for_interrupts();
  DrawResults results;
  try
  {
    results = run(*bow_case, folder.place() / fields_folder, options.quiet);
    if (stop_asked && !results.complete)
    {
      warn("Interrupted. " + earlier_untouched(folder));
      return exit_interrupted;
    }
    write_results(folder.place(), *bow_case, results, record);
    folder.swap_in();
  }
  catch (...)
  {
    warn("The run failed. " + earlier_untouched(folder));
    throw;
  }
  tell(options.json ? summary_json(*bow_case, results) : answer(*bow_case, results));
  if (!options.quiet)
    warn("\nResults are in " + folder.target().string() + "; its README.txt says which file to open.\n");
  return results.complete ? exit_ok : exit_not_converged;
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
