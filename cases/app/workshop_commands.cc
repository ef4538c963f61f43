#include "cases/app/workshop_commands.h"

#include "cases/app/asked.h"
#include "cases/app/exit_codes.h"
#include "cases/app/interrupts.h"
#include "cases/app/terminal.h"
#include "cases/report/text_file.h"
#include "cases/study/margin_map.h"
#include "cases/study/modulus_fit.h"
#include "cases/study/strip_match.h"
#include "cases/study/unlike_limbs.h"

#include <CLI/CLI.hpp>

#include <filesystem>
#include <functional>
#include <limits>
#include <memory>

namespace limbwright
{
namespace
{
/// What a study tells on its way, a line each.
std::function<void(const std::string &)> progress_lines(bool quiet)
{
  return [quiet](const std::string &words)
  {
    if (!quiet)
      warn(words + "\n");
  };
}

int tell_interrupted()
{
  warn("Interrupted. No bow file was written.\n");
  return exit_interrupted;
}

/// Writes the bow file that a study made; `what` goes before "is in FILE".
void write_case_for_next(const std::filesystem::path &file, const std::string &text, const std::string &what, bool quiet)
{
  write_text_file(file, text);
  if (!quiet)
    warn("\n" + what + " is in " + file.string() + ". Next: limbwright draw " + file.string() + "\n");
}
} // namespace

int match_command(const MatchOptions &options)
{
  const auto bow = read_at(options.case_file, options.at);
  if (!bow)
    return exit_usage;
  double aim = std::numeric_limits<double>::quiet_NaN();
  if (!options.weight.empty())
  {
    const auto weight = weight_asked(options.weight);
    if (!weight)
      return exit_usage;
    aim = *weight;
  }
  listen_for_interrupts();
  const StripMatch match = match_strips(bow->read, aim, progress_lines(options.quiet), &stop_asked);
  if (match.interrupted)
    return tell_interrupted();
  tell(strip_match_words(bow->read, match));
  if (!match.complete)
    return match.solutions == 0 || match.pairs.empty() ? exit_usage : exit_not_converged;
  const auto out = options.out.empty() ? std::filesystem::path(bow->read.name + "-matched.toml") : options.out;
  const std::string text =
      text_with_limbs_of(bow->read, match.built, "of the same wood, from how far the strip bent under a weight");
  write_case_for_next(out, text, "The bow with these strips", options.quiet);
  return match.reached ? exit_ok : exit_not_converged;
}

int fit_command(const FitOptions &options)
{
  const auto bow = read_at(options.case_file, "");
  if (!bow)
    return exit_usage;
  ScatterSizes expected;
  std::string error;
  for (const std::string &text : options.scatter)
    if (set_scatter(expected, text, error); !error.empty())
    {
      warn("error: --scatter: " + error + "\n");
      return exit_usage;
    }
  listen_for_interrupts();
  const ModulusFit fit = fit_moduli(bow->read, expected, progress_lines(options.quiet), &stop_asked);
  if (fit.interrupted)
    return tell_interrupted();
  tell(modulus_fit_words(bow->read, fit));
  if (!fit.complete)
    return fit.solutions == 0 ? exit_usage : exit_not_converged;
  const auto out = options.out.empty() ? std::filesystem::path(bow->read.name + "-fitted.toml") : options.out;
  write_case_for_next(out, fitted_text(bow->text, bow->read, fit), "The fitted bow", options.quiet);
  return exit_ok;
}

int margins_command(const MarginsOptions &options)
{
  const auto bow = read_at(options.case_file, options.at);
  if (!bow)
    return exit_usage;
  listen_for_interrupts();
  const MarginMap map = margin_map(bow->read, options.index, &stop_asked);
  if (stop_asked)
    return exit_interrupted;
  tell(margin_words(bow->read, map));
  if (!map.complete)
    return exit_not_converged;
  const auto out = options.out.empty() ? std::filesystem::path(bow->read.name + ".margins.csv") : options.out;
  write_text_file(out, csv(margin_table(bow->read, map)));
  warn("\nEvery inch is in " + out.string() + ".\n");
  return exit_ok;
}

void add_workshop_commands(CLI::App &app, std::function<int()> &command)
{
  const auto match_options = std::make_shared<MatchOptions>();
  auto *match = app.add_subcommand(
      "match", "Pair measured strips for the upper and lower limb; show what to grind off the core for weight and tiller");
  match->add_option("FILE", match_options->case_file, "Bow file with [[measured.strip]] tables")->required();
  match->add_option("--weight", match_options->weight, "Draw weight to reach (default: the bow's as designed)");
  match->add_option("--at", match_options->at, "Draw length (default: the bow file's)");
  match->add_option("--out", match_options->out,
                    "File to write the bow with these strips to (default: the bow file's name and '-matched.toml')");
  match->add_flag("--quiet", match_options->quiet, "No progress, only the answer");
  match->footer("\nExample:\n  limbwright match my-bow.toml --weight \"45 lbf\"");
  match->callback([&command, match_options] { command = [match_options] { return match_command(*match_options); }; });

  const auto fit_options = std::make_shared<FitOptions>();
  auto *fit = app.add_subcommand("fit", "Fit the stiffness of the materials to the measured draw weight of a finished bow");
  fit->add_option("FILE", fit_options->case_file, "Bow file with [[measured.weight]] and [[measured.strip]] tables")->required();
  fit->add_option("--scatter", fit_options->scatter,
                  "How far the moduli may be off, a standard deviation: --scatter \"wood_modulus = 10 %\", glass_modulus; 0 %\n"
                  "takes them as known")
      ->take_all();
  fit->add_option("--out", fit_options->out, "File to write the fitted bow to (default: the bow file's name and '-fitted.toml')");
  fit->add_flag("--quiet", fit_options->quiet, "No progress, only the answer");
  fit->footer("\nExample:\n  limbwright fit my-bow.toml");
  fit->callback([&command, fit_options] { command = [fit_options] { return fit_command(*fit_options); }; });

  const auto margins_options = std::make_shared<MarginsOptions>();
  auto *margins = app.add_subcommand("margins", "Can I use this piece? The largest knot, run-out and open patch, inch by inch");
  margins->add_option("FILE", margins_options->case_file, "Bow file")->required();
  margins->add_option("--index", margins_options->index, "Most strength any place may use with the fault in it; 0.8 is 80 %")
      ->capture_default_str()
      ->check(CLI::Range(0.05, 2.));
  margins->add_option("--at", margins_options->at, "Draw length (default: the bow file's)");
  margins->add_option("--out", margins_options->out, "File of the table (default: the bow file's name and '.margins.csv')");
  margins->footer("\nExample:\n  limbwright margins my-bow.toml --index 0.8");
  margins->callback([&command, margins_options] { command = [margins_options] { return margins_command(*margins_options); }; });
}
} // namespace limbwright
