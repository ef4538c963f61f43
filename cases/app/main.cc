#include "cases/app/commands.h"
#include "cases/app/exit_codes.h"
#include "cases/app/study_commands.h"
#include "cases/app/terminal.h"
#include "cases/report/text_file.h"
#include "cases/report/versions.h"
#include "solver/fields/vtu_writer.h"

#include <CLI/CLI.hpp>

#include <csignal>
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
      "Stress analysis of bow limbs: strings a bow described in a case file, draws it to full draw, and tells its weight and\n"
      "where it is nearest to failing.",
      "limbwright");
  app.footer(std::string("\n") + exit_codes_text);
  app.set_version_flag("--version", "limbwright " + program_version());
  app.require_subcommand(1);

  std::function<int()> command;
  DrawOptions draw_options;
  std::string case_file, example, new_file, material;

  auto *draw = app.add_subcommand("draw", "String and draw the bow; write a folder of results and tell the answer");
  draw->add_option("CASE", draw_options.case_file, "Case file")->required();
  draw->add_option("--out", draw_options.out,
                   "Folder of the results (default: the case's name and '.results', in the current folder)");
  draw->add_flag("--quiet", draw_options.quiet, "No progress, only the answer");
  draw->add_flag("--json", draw_options.json, "Print summary.json in place of the answer");
  draw->callback([&] { command = [&] { return draw_command(draw_options); }; });

  auto *check = app.add_subcommand("check", "Check a case file; print lengths, cut list, stack by the inch, form, mass");
  check->add_option("CASE", case_file, "Case file")->required();
  check->callback([&] { command = [&] { return check_command(case_file); }; });

  auto *begin = app.add_subcommand("begin", "Copy an example bow into a new case file; without EXAMPLE, list them");
  begin->add_option("EXAMPLE", example, "Name of the example");
  begin->add_option("FILE", new_file, "New file (default: the example's name and '.toml'); never overwritten");
  begin->callback([&] { command = [&] { return begin_command(example, new_file); }; });

  add_study_commands(app, command);

  app.add_subcommand("keys", "Print every key of a case file with unit, range and default")
      ->callback([&] { command = [] { return keys_command(); }; });

  auto *materials = app.add_subcommand("materials", "List the material library; with NAME, every value with its source");
  materials->add_option("NAME", material, "Material or adhesive");
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
} // namespace

int main(int argc, char **argv)
{
  // A closed pipe is then an error of the write, which is told and cleared up after.
  std::signal(SIGPIPE, SIG_IGN);
  try
  {
    return run_program(argc, argv);
  }
  catch (const OutputFailed &error)
  {
    if (!error.reader_gone)
      warn(std::string("limbwright: ") + error.what() + "\n");
    return exit_cannot_write;
  }
  catch (const CannotWrite &error)
  {
    warn(std::string("limbwright: ") + error.what() + "\n");
    return exit_cannot_write;
  }
  catch (const CannotWriteFields &error)
  {
    warn(std::string("limbwright: ") + error.what() + "\n");
    return exit_cannot_write;
  }
  catch (const std::bad_alloc &)
  {
    warn("limbwright: not enough memory; a coarser mesh needs less\n");
    return exit_internal;
  }
  catch (const std::exception &error)
  {
    warn(std::string("limbwright: a mistake inside the program: ") + error.what() + "\n");
    return exit_internal;
  }
  catch (...)
  {
    warn("limbwright: a mistake inside the program, of unknown kind\n");
    return exit_internal;
  }
}
