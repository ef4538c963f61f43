#include "cases/app/study_commands.h"

#include "cases/app/exit_codes.h"
#include "cases/app/interrupts.h"
#include "cases/app/read_and_tell.h"
#include "cases/app/terminal.h"
#include "cases/reader/units.h"
#include "cases/report/answer_parts.h"
#include "cases/report/output_units.h"
#include "cases/report/text_file.h"
#include "cases/study/case_edit.h"
#include "cases/study/sizing_words.h"

#include <CLI/CLI.hpp>
#include <fmt/core.h>

#include <cmath>
#include <optional>

namespace limbwright
{
namespace
{
/// A case and the text it was read from, at the draw length asked for.
struct CaseAndText
{
  Case read;
  std::string text;
};

std::optional<CaseAndText> read_at(const std::filesystem::path &file, const std::string &draw_length)
{
  auto bow_case = told(read_case(file));
  if (!bow_case)
    return std::nullopt;
  std::string text = read_text_file(file);
  if (draw_length.empty())
    return CaseAndText{std::move(*bow_case), std::move(text)};
  const EditedCase edited = with_value(text, "bow.draw_length", draw_length);
  if (!edited.error.empty())
  {
    warn("error: --at: " + edited.error + "\n");
    return std::nullopt;
  }
  bow_case = told(read_case_text(edited.text, file.string()));
  if (!bow_case)
    return std::nullopt;
  return CaseAndText{std::move(*bow_case), edited.text};
}

/// [N], or nothing after a complaint.
std::optional<double> weight_asked(const std::string &text)
{
  const Quantity weight = parse_quantity(text, Dimension::force);
  if (weight.error.empty() && weight.value >= 1. && weight.value <= 2000.)
    return weight.value;
  warn(fmt::format("error: --weight {}: {}\n", text,
                   weight.error.empty() ? "a draw weight is between 1 N and 2000 N (450 lbf)" : weight.error));
  return std::nullopt;
}

std::optional<Resizing> resizing_asked(const Case &bow_case, const std::string &by)
{
  std::string error;
  auto what = resizing(bow_case, by, error);
  if (!what)
    warn("error: --by: " + error + "\n");
  return what;
}
} // namespace

int size_command(const SizeOptions &options)
{
  const auto bow = read_at(options.case_file, options.at);
  if (!bow)
    return exit_usage;
  const auto weight = weight_asked(options.weight);
  const auto what = resizing_asked(bow->read, options.by);
  if (!weight || !what)
    return exit_usage;
  listen_for_interrupts();
  int n = 0;
  const auto tell_trial = [&](const SizingTrial &trial)
  {
    if (!options.quiet)
      warn(fmt::format("trial {}: {}: {}\n", ++n, amount_words(*what, trial.amount), number(trial.weight, pound_force, "lb", 2)));
  };
  const Sizing sizing = size_bow(bow->read, *what, *weight, tell_trial, &stop_asked);
  if (sizing.interrupted)
  {
    warn("Interrupted. No case was written.\n");
    return exit_interrupted;
  }
  tell(sizing_words(bow->read, *what, sizing, *weight));
  if (!sizing.reached)
    return exit_not_converged;
  const auto out = options.out.empty() ? std::filesystem::path(bow->read.name + "-sized.toml") : options.out;
  write_text_file(out, resized_text(bow->text, bow->read, *what, sizing.amount));
  if (!options.quiet)
    warn("\nThe resized case is in " + out.string() + ". Next: limbwright draw " + out.string() + "\n");
  return exit_ok;
}

void add_study_commands(CLI::App &app, std::function<int()> &command)
{
  const auto size_options = std::make_shared<SizeOptions>();
  auto *size = app.add_subcommand("size", "Make weight: what to grind for a draw weight; write the resized case");
  size->add_option("CASE", size_options->case_file, "Case file")->required();
  size->add_option("--weight", size_options->weight, "Draw weight to come to, for example \"45 lbf\"")->required();
  size->add_option("--at", size_options->at, "Draw length, for example \"28 in\", as the case tells it (default: the case's)");
  size->add_option("--by", size_options->by,
                   "What is changed: the name of a lamination; 'core', the tapered laminations between the facings; or 'width'")
      ->capture_default_str();
  size->add_option("--out", size_options->out, "File of the resized case (default: the case's name and '-sized.toml')");
  size->add_flag("--quiet", size_options->quiet, "No progress, only the answer");
  size->callback([&command, size_options] { command = [size_options] { return size_command(*size_options); }; });
}
} // namespace limbwright
