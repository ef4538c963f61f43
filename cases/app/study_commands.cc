#include "cases/app/study_commands.h"

#include "cases/app/asked.h"
#include "cases/app/exit_codes.h"
#include "cases/app/interrupts.h"
#include "cases/app/ranks.h"
#include "cases/app/read_and_tell.h"
#include "cases/app/terminal.h"
#include "cases/reader/units.h"
#include "cases/report/answer_parts.h"
#include "cases/report/output_units.h"
#include "cases/report/text_file.h"
#include "cases/study/batch.h"
#include "cases/study/case_edit.h"
#include "cases/study/pieces_done.h"
#include "cases/study/pounds.h"
#include "cases/study/sizing_words.h"
#include "cases/study/variation.h"

#include <CLI/CLI.hpp>
#include <fmt/core.h>

#include <algorithm>
#include <chrono>
#include <memory>
#include <optional>

namespace limbwright
{
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
    warn("Interrupted. No bow file was written.\n");
    return exit_interrupted;
  }
  tell(sizing_words(bow->read, *what, sizing, *weight));
  if (!sizing.reached)
    return exit_not_converged;
  const auto out = options.out.empty() ? std::filesystem::path(bow->read.name + "-sized.toml") : options.out;
  write_text_file(out, resized_text(bow->text, bow->read, *what, sizing.amount));
  if (!options.quiet)
    warn("\nThe resized bow file is " + out.string() + ". Next: limbwright draw " + out.string() + "\n");
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
  PiecesDone clock(all.size());
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
  const auto page = std::filesystem::path(out).replace_extension(".html");
  write_study_page(page, variation_page(bow->read, variation, bows));
  if (!options.quiet)
    warn("\nThe table is in " + out.string() + ", with charts in " + page.string() + ".\n");
  const bool any_failed = std::any_of(bows.begin(), bows.end(), [](const VariedBow &one) { return !one.failure.empty(); });
  return any_failed ? exit_not_converged : exit_ok;
}

int pounds_command(const PoundsOptions &options)
{
  const auto bow = read_at(options.case_file, options.at);
  if (!bow)
    return exit_usage;
  const auto what = resizing_asked(bow->read, options.by);
  const auto lost = weight_asked(options.lose);
  if (!what || !lost)
    return exit_usage;
  if (what->in_proportion)
  {
    warn("error: --by: write 'core', or the name of a lamination that runs the whole limb\n");
    return exit_usage;
  }
  listen_for_interrupts();
  std::string error;
  const auto pounds = where_pounds_are(bow->read, *what, *lost, error, &stop_asked);
  if (stop_asked)
    return exit_interrupted;
  if (!pounds)
  {
    warn("The bow cannot be drawn: " + error + "\n");
    return exit_not_converged;
  }
  tell(pounds_words(bow->read, *what, *pounds, *lost));
  return exit_ok;
}

int batch_command(const BatchOptions &options)
{
  const auto bow = read_at(options.case_file, options.at);
  if (!bow)
    return exit_usage;
  BatchPlan plan{{}, options.seed, static_cast<std::size_t>(options.bows)};
  std::string error;
  for (const std::string &text : options.scatter)
    if (set_scatter(plan.sizes, text, error); !error.empty())
    {
      warn("error: --scatter: " + error + "\n");
      return exit_usage;
    }
  std::optional<double> aim;
  if (!options.aim.empty() && !(aim = weight_asked(options.aim)))
    return exit_usage;
  listen_for_interrupts();
  const auto out = options.out.empty() ? std::filesystem::path(bow->read.name + ".batch") : options.out;
  const auto start = std::chrono::steady_clock::now();
  std::size_t before = 0;
  std::optional<BatchFolder> folder;
  try
  {
    folder.emplace(out, bow->read, plan);
  }
  catch (const CannotWrite &)
  {
    throw;
  }
  catch (const std::runtime_error &failure)
  {
    warn(std::string("error: ") + failure.what() + "\n");
    return exit_usage;
  }
  const BatchBows done = folder->done();
  before = static_cast<std::size_t>(std::distance(done.begin(), done.lower_bound(plan.n_bows)));
  int ranks = 1;
  const bool well = on_all_ranks(options.processes > 0 ? options.processes : n_processors(),
                                 [&](int rank, int n_ranks)
                                 {
                                   ranks = n_ranks;
                                   std::optional<PiecesDone> clock;
                                   run_share(
                                       bow->read, plan, *folder, done, rank, n_ranks,
                                       [&](std::size_t n, std::size_t of)
                                       {
                                         if (!clock)
                                           clock.emplace(of);
                                         if (rank == 0 && !options.quiet)
                                           warn(clock->words(n) + (n_ranks > 1 ? " (first process)" : "") + "\n");
                                       },
                                       &stop_asked);
                                 });
  BatchBows bows = folder->done();
  if (stop_asked)
  {
    warn(fmt::format("Interrupted with {} bows done; run the same command again to continue.\n", bows.size()));
    return exit_interrupted;
  }
  bows.erase(bows.lower_bound(plan.n_bows), bows.end());
  if (!well || bows.size() < plan.n_bows)
  {
    warn(fmt::format("Only {} of {} bows are done; run the same command again to continue.\n", bows.size(), plan.n_bows));
    return exit_internal;
  }
  const double seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
  const auto tolerances = tolerances_of(bow->read, plan.sizes);
  const auto linear = linear_spread(bow->read, tolerances, &stop_asked);
  if (!aim)
    aim = linear ? linear->nominal_weight : statistics_of(bows, 0.).mean;
  tell(batch_words(bow->read, plan, tolerances, bows, linear, *aim));
  write_text_file(out / "bows.csv", csv(batch_table(tolerances, plan, bows)));
  if (!options.quiet)
    warn(fmt::format("\n{} bows in {:.1f} s on {} process{}. Every bow is in {}.\n", bows.size() - before, seconds, ranks,
                     ranks == 1 ? "" : "es", (out / "bows.csv").string()));
  return exit_ok;
}

void add_study_commands(CLI::App &app, std::function<int()> &command)
{
  const auto size_options = std::make_shared<SizeOptions>();
  auto *size = app.add_subcommand("size", "Make weight: what to grind for a draw weight; write the resized bow file");
  size->add_option("FILE", size_options->case_file, "Bow file")->required();
  size->add_option("--weight", size_options->weight, "Draw weight to reach, for example \"45 lbf\"")->required();
  size->add_option("--at", size_options->at,
                   "Draw length, for example \"28 in\", in the bow file's convention (default: the bow file's)");
  size->add_option("--by", size_options->by,
                   "What to change: the name of a lamination; 'core', the core lams that run the whole limb; or 'width'")
      ->capture_default_str();
  size->add_option("--out", size_options->out,
                   "File to write the resized bow to (default: the bow file's name and '-sized.toml')");
  size->add_flag("--quiet", size_options->quiet, "No progress, only the answer");
  size->footer("\nExample:\n  limbwright size my-bow.toml --weight \"45 lbf\"");
  size->callback([&command, size_options] { command = [size_options] { return size_command(*size_options); }; });

  const auto vary_options = std::make_shared<VaryOptions>();
  auto *vary =
      app.add_subcommand("vary", "The same bow with other values of any key, side by side, at equal weight or as they come out");
  vary->add_option("FILE", vary_options->case_file, "Bow file")->required();
  vary->add_option("--key", vary_options->keys,
                   "What to vary, for example --key \"limb.width.rows[4][2] = 0.4, 0.5\", \"belly glass.thickness + back\n"
                   "glass.thickness = 0.036 in, 0.043 in\" or \"bow.brace_height = 6 in to 8 in by 0.5 in\"; several: every\n"
                   "combination")
      ->required()
      ->take_all();
  vary->add_option("--weight", vary_options->weight, "Bring each bow to this draw weight (default: leave each as it comes out)");
  vary->add_option("--at", vary_options->at, "Draw length (default: the bow file's)");
  vary->add_option("--by", vary_options->by, "What to change to make weight, as in 'size'")->capture_default_str();
  vary->add_option("--out", vary_options->out,
                   "File of the table (default: the bow file's name and '.vary.csv'); the page goes next to it, '.html'");
  vary->add_flag("--quiet", vary_options->quiet, "No progress, only the table");
  vary->footer("\nExample:\n  limbwright vary my-bow.toml --key \"bow.brace_height = 6 in to 7 in by 0.5 in\"");
  vary->callback([&command, vary_options] { command = [vary_options] { return vary_command(*vary_options); }; });

  const auto pounds_options = std::make_shared<PoundsOptions>();
  auto *pounds =
      app.add_subcommand("pounds", "Where the pounds are: what it does to take wood off at each inch, and ways to lose weight");
  pounds->add_option("FILE", pounds_options->case_file, "Bow file")->required();
  pounds->add_option("--at", pounds_options->at, "Draw length (default: the bow file's)");
  pounds->add_option("--by", pounds_options->by, "What to take thickness off: 'core' or the name of a lamination")
      ->capture_default_str();
  pounds->add_option("--lose", pounds_options->lose, "Draw weight to lose")->capture_default_str();
  pounds->footer("\nExample:\n  limbwright pounds my-bow.toml --lose \"3 lbf\"");
  pounds->callback([&command, pounds_options] { command = [pounds_options] { return pounds_command(*pounds_options); }; });

  const auto batch_options = std::make_shared<BatchOptions>();
  auto *batch = app.add_subcommand("batch", "Will the next one match? The same bow built many times, with the scatter of a shop");
  batch->add_option("FILE", batch_options->case_file, "Bow file")->required();
  batch->add_option("--bows", batch_options->bows, "How many bows")->capture_default_str()->check(CLI::Range(2, 100000));
  batch->add_option("--seed", batch_options->seed, "Seed of the sample; the same seed gives the same bows")
      ->capture_default_str();
  batch
      ->add_option("--scatter", batch_options->scatter,
                   "A standard deviation, for example --scatter \"wood_modulus = 10 %\"; also wood_thickness, glass_thickness,\n"
                   "glass_modulus, wood_density, wood_strength, width, draw, brace")
      ->take_all();
  batch->add_option("--aim", batch_options->aim, "Draw weight aimed at (default: the bow's as designed)");
  batch->add_option("--at", batch_options->at, "Draw length (default: the bow file's)");
  batch->add_option(
      "--out", batch_options->out,
      "Folder that keeps the bows done; an interrupted batch continues from it (default: the bow file's name and '.batch')");
  batch
      ->add_option("--processes", batch_options->processes,
                   "Processes on this machine (default: one per processor); under mpirun its ranks are used instead")
      ->check(CLI::Range(1, 1024));
  batch->add_flag("--quiet", batch_options->quiet, "No progress, only the answer");
  batch->footer("\nExample:\n  limbwright batch my-bow.toml --bows 200");
  batch->callback([&command, batch_options] { command = [batch_options] { return batch_command(*batch_options); }; });
}
} // namespace limbwright
