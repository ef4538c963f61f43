#include "cases/app/commands.h"
#include "cases/app/exit_codes.h"
#include "cases/app/ranks.h"
#include "cases/app/study_commands.h"
#include "cases/app/terminal.h"
#include "cases/app/workshop_commands.h"
#include "cases/report/path_file.h"
#include "cases/report/text_file.h"
#include "cases/report/versions.h"
#include "solver/fields/vtu_writer.h"
#include "solver/stages/distributed_solver.h"

#include <CLI/CLI.hpp>

#include <fcntl.h>
#include <unistd.h>

#include <csignal>
#include <cstdlib>
#include <exception>
#include <functional>
#include <new>
#include <sstream>

using namespace limbwright;

namespace
{
int run_program(int argc, char **argv)
{
  CLI::App app(
      "Stress analysis of bow limbs: strings the bow described in a bow file, draws it to full draw, and shows its draw weight\n"
      "and where it is closest to failure.",
      "limbwright");
  app.footer(std::string("\nFirst steps:\n"
                         "  limbwright begin                                 list the example bows\n"
                         "  limbwright begin maple-glass-thin my-bow.toml    copy one, then edit it\n"
                         "  limbwright check my-bow.toml                     cut list, stack by the inch, form\n"
                         "  limbwright draw my-bow.toml                      string it and draw it\n"
                         "  limbwright size my-bow.toml --weight \"45 lbf\"    what to grind to make weight\n"
                         "  limbwright compare thin.results thick.results    two runs side by side\n"
                         "'limbwright COMMAND --help' explains a command.\n\n") +
             exit_codes_text);
  app.set_version_flag("--version", "limbwright " + program_version());
  app.require_subcommand(1);

  std::function<int()> command;
  DrawOptions draw_options;
  CompareOptions compare_options;
  PatchOptions patch_options;
  std::string case_file, example, new_file, material, results_folder;

  auto *draw = app.add_subcommand("draw", "String and draw the bow; print the answer and write a folder of results");
  draw->add_option("FILE", draw_options.case_file, "Bow file")->required();
  draw->add_option("--out", draw_options.out,
                   "Results folder (default: the bow file's name and '.results', in the current folder)");
  draw->add_option("--dim", draw_options.dimension, "2: side view; 3: solid, which takes much longer")
      ->check(CLI::IsMember({2, 3}));
  draw->add_flag("--resume", draw_options.resume,
                 "Resume a draw of this bow file that was interrupted or failed; needs the file it left next to its results");
  draw->add_flag("--quiet", draw_options.quiet, "No progress, only the answer");
  draw->add_flag(
      "--no-sound", draw_options.no_sound,
      "Skip the second run, without the flaws, of a bow that has flaws (solids: only run with [solve] sound_beside = \"yes\")");
  draw->add_flag("--json", draw_options.json, "Print summary.json instead of the answer");
  draw->add_flag("--pictures", draw_options.pictures,
                 "Also draw pictures of the limb and its glue and show them in the report (needs limbwright-picture)");
  draw->footer("\nExamples:\n"
               "  limbwright begin maple-glass-thin my-bow.toml\n"
               "  limbwright draw my-bow.toml\n"
               "  limbwright draw my-bow.toml --out thin --pictures\n"
               "Then open my-bow.results/report.html in a browser.");
  draw->callback([&] { command = [&] { return draw_command(draw_options); }; });

  auto *report = app.add_subcommand("report", "Rebuild report.html of a results folder from its results.h5");
  report->add_option("FOLDER", results_folder, "Results folder of an earlier run")->required();
  report->footer("\nExample:\n  limbwright report my-bow.results");
  report->callback([&] { command = [&] { return report_command(results_folder); }; });

  auto *compare = app.add_subcommand("compare", "Compare two or more runs side by side: a table here, and a page");
  compare->add_option("FOLDER", compare_options.folders, "Results folders; differences are from the first")
      ->required()
      ->expected(2, 8);
  compare->add_option("--page", compare_options.page, "File of the page (default: comparison.html in the current folder)");
  compare->add_flag("--equal-weight", compare_options.equal_weight,
                    "Make every bow wider or narrower until it pulls what the first one does; strains stay the same");
  compare->footer("\nExamples:\n"
                  "  limbwright compare thin.results thick.results\n"
                  "  limbwright compare thin.results thick.results --equal-weight --page glass.html");
  compare->callback([&] { command = [&] { return compare_command(compare_options); }; });

  app.add_subcommand("completion", "Print the completion script for bash")
      ->footer("\nExample, for this and every later shell:\n"
               "  mkdir -p ~/.local/share/bash-completion/completions\n"
               "  limbwright completion > ~/.local/share/bash-completion/completions/limbwright")
      ->callback([&] { command = [] { return completion_command(); }; });

  auto *patch = app.add_subcommand("patch", "Run an open patch of glue at several lengths: at what length does it grow?");
  patch->add_option("FILE", patch_options.case_file, "Bow file with an open patch of glue, [[glue.patch]]")->required();
  patch
      ->add_option("--length", patch_options.lengths,
                   "Lengths, centered on the patch, each with its unit: --length \"1 in\" \"2 in\"")
      ->required();
  patch->add_option("--number", patch_options.number, "Which open patch, counted from 1, if the bow has several");
  patch->add_flag("--quiet", patch_options.quiet, "No progress, only the answer");
  patch->footer("\nExample:\n  limbwright patch my-bow.toml --length \"1 in\" \"2 in\"");
  patch->callback([&] { command = [&] { return patch_command(patch_options); }; });

  auto *check =
      app.add_subcommand("check", "Check a bow file; print lengths, cut list, stack by the inch, form profile and mass");
  check->add_option("FILE", case_file, "Bow file")->required();
  check->footer("\nExample:\n  limbwright check my-bow.toml");
  check->callback([&] { command = [&] { return check_command(case_file); }; });

  auto *begin = app.add_subcommand("begin", "Copy an example bow into a new bow file; without EXAMPLE, list them");
  begin->add_option("EXAMPLE", example, "Name of the example");
  begin->add_option("FILE", new_file, "New file (default: the example's name and '.toml'); never overwritten");
  begin->footer("\nExample:\n  limbwright begin maple-glass-thin my-bow.toml");
  begin->callback([&] { command = [&] { return begin_command(example, new_file); }; });

  add_study_commands(app, command);
  add_workshop_commands(app, command);

  app.add_subcommand("keys", "Print every key of a bow file with its units, range and default")
      ->footer("\nExample:\n  limbwright keys | less")
      ->callback([&] { command = [] { return keys_command(); }; });

  auto *materials = app.add_subcommand("materials", "List the material library; with NAME, every value with its source");
  materials->add_option("NAME", material, "Material or adhesive");
  materials->footer("\nExample:\n  limbwright materials hard-maple");
  materials->callback([&] { command = [&] { return materials_command(material); }; });

  try
  {
    app.parse(argc, argv);
  }
  catch (const CLI::ParseError &error)
  {
    std::ostringstream out, err;
    const int code = app.exit(error, out, err);
    warn(err.str());
    tell(out.str());
    return code == 0 ? exit_ok : exit_usage;
  }
  return command();
}

// No file that is opened may take the number of a standard stream that is closed.
void keep_streams_apart()
{
  for (int stream = 0; stream <= 2; ++stream)
    if (::fcntl(stream, F_GETFD) < 0 && ::open("/dev/null", stream == 0 ? O_WRONLY : O_RDONLY) != stream)
      std::abort();
}

// Others that wait for this process would wait for ever.
int failed(int code)
{
  end_all_ranks(code);
  return code;
}
} // namespace

int main(int argc, char **argv)
{
  // A closed pipe, and a file that grows past what is allowed, then fail as errors of the write, which are reported and cleaned
  // up.
  std::signal(SIGPIPE, SIG_IGN);
  std::signal(SIGXFSZ, SIG_IGN);
  keep_streams_apart();
  try
  {
    return run_program(argc, argv);
  }
  catch (const OutputFailed &error)
  {
    if (!error.reader_gone)
      warn(std::string("limbwright: ") + error.what() + "\n");
    return failed(exit_cannot_write);
  }
  catch (const CannotWrite &error)
  {
    warn(std::string("limbwright: ") + error.what() + "\n");
    return failed(exit_cannot_write);
  }
  catch (const CannotWriteFields &error)
  {
    warn(std::string("limbwright: ") + error.what() + "\n");
    return failed(exit_cannot_write);
  }
  catch (const CannotResume &error)
  {
    warn(std::string("limbwright: ") + error.what() + "\n");
    return failed(exit_usage);
  }
  catch (const NotEnoughMemory &error)
  {
    warn(std::string("limbwright: ") + error.what() + "; use a coarser mesh, or more ranks\n");
    return failed(exit_internal);
  }
  catch (const std::bad_alloc &)
  {
    warn("limbwright: not enough memory; use a coarser mesh\n");
    return failed(exit_internal);
  }
  catch (const std::exception &error)
  {
    warn(std::string("limbwright: error inside the program: ") + error.what() + "\n");
    return failed(exit_internal);
  }
  catch (...)
  {
    warn("limbwright: error of unknown kind inside the program\n");
    return failed(exit_internal);
  }
}
