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
#include "cases/study/time_left.h"
#include "cases/study/variation.h"

#include <CLI/CLI.hpp>
#include <fmt/core.h>

#include <algorithm>
#include <memory>
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

int vary_command(const VaryOptions &options)
{
  const auto bow = read_at(options.case_file, options.at);
  if (!bow)
    return exit_usage;
  Variation variation;
  std::string error;
  for (const std::string &key : options.keys)
    if (variation.keys.push_back(parse_varied_key(key, error)); !error.empty())
    {
      warn("error: --key: " + error + "\n");
      return exit_usage;
    }
  if (!options.weight.empty())
  {
    const auto weight = weight_asked(options.weight);
    if (!weight || !resizing_asked(bow->read, options.by))
      return exit_usage;
    variation.weight = *weight;
    variation.by = options.by;
  }
  listen_for_interrupts();
  const auto all = combinations(variation.keys);
  std::vector<VariedBow> bows;
  TimeLeft clock(all.size());
  for (const auto &values : all)
  {
    bows.push_back(vary_one(bow->text, options.case_file.string(), variation, values, &stop_asked));
    if (stop_asked)
    {
      warn("Interrupted. No table was written.\n");
      return exit_interrupted;
    }
    if (!options.quiet)
      warn(clock.words(bows.size()) + "\n");
  }
  tell(variation_words(bow->read, variation, bows));
  const auto out = options.out.empty() ? std::filesystem::path(bow->read.name + ".vary.csv") : options.out;
  write_text_file(out, csv(variation_table(variation, bows)));
  if (!options.quiet)
    warn("\nThe table is in " + out.string() + ".\n");
  const bool any_failed = std::any_of(bows.begin(), bows.end(), [](const VariedBow &one) { return !one.failure.empty(); });
  return any_failed ? exit_not_converged : exit_ok;
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

  const auto vary_options = std::make_shared<VaryOptions>();
  auto *vary =
      app.add_subcommand("vary", "The same bow with other values of any key, side by side, at equal weight or as they are");
  vary->add_option("CASE", vary_options->case_file, "Case file")->required();
  vary->add_option("--key", vary_options->keys,
                   "What is varied, for example --key \"limb.width.rows[4][2] = 0.4, 0.5\", \"belly glass.thickness + back\n"
                   "glass.thickness = 0.036 in, 0.043 in\" or \"bow.brace_height = 6 in to 8 in by 0.5 in\"; several: every\n"
                   "combination")
      ->required()
      ->take_all();
  vary->add_option("--weight", vary_options->weight, "Bring each to this draw weight (default: leave each as it is)");
  vary->add_option("--at", vary_options->at, "Draw length (default: the case's)");
  vary->add_option("--by", vary_options->by, "What is changed to make weight, as in 'size'")->capture_default_str();
  vary->add_option("--out", vary_options->out, "File of the table (default: the case's name and '.vary.csv')");
  vary->add_flag("--quiet", vary_options->quiet, "No progress, only the table");
  vary->callback([&command, vary_options] { command = [vary_options] { return vary_command(*vary_options); }; });
}
} // namespace limbwright
