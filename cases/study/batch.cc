#include "cases/study/batch.h"

#include "cases/report/output_units.h"
#include "cases/report/text_file.h"
#include "cases/report/verdict.h"
#include "cases/study/bow_figures.h"
#include "cases/study/sizing.h"
#include "solver/stages/bow_pattern.h"
#include "solver/stages/drawn_bow.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <fstream>
#include <sstream>
#include <stdexcept>

namespace limbwright
{
std::shared_ptr<BowPattern> batch_pattern(const Case &bow_case, const std::atomic<bool> *stop)
{
  try
  {
    return std::make_shared<BowPattern>(bow_in_use(bow_case).bow, bow_case.mesh, bow_case.solve, stop);
  }
  catch (const std::runtime_error &)
  {
    return nullptr;
  }
  catch (const std::invalid_argument &)
  {
    return nullptr;
  }
}

BatchBow draw_one_of_batch(const Case &bow_case, const std::vector<Tolerance> &tolerances, const BatchPlan &plan, std::size_t i,
                           const BowPattern *pattern, const std::atomic<bool> *stop)
{
  const Case built = as_built(bow_case, tolerances, batch_point(i, tolerances.size(), plan.seed));
  BatchBow bow{not_known, not_known, not_known, not_known, not_known, not_known, 0.};
  try
  {
    const DrawResults results = draw_quickly(built, false, stop, pattern);
    if (!results.complete)
      return bow;
    const BowFigures figures = figures_of(built, results);
    const auto level = verdict_of(built, results).level;
    const bool comfortable = level == Verdict::Level::comfortable || level == Verdict::Level::takes_set;
    return {figures.weight,      figures.belly_index, figures.back_index,   figures.glue_index,
            figures.worst_index, figures.mass,        comfortable ? 1. : 0.};
  }
  catch (const std::runtime_error &)
  {
    return bow;
  }
  catch (const std::invalid_argument &)
  {
    return bow; // so far off that it makes no limb
  }
}

BatchFolder::BatchFolder(std::filesystem::path folder, const Case &bow_case, const BatchPlan &plan) : place(std::move(folder))
{
  std::filesystem::create_directories(place);
  const std::string mark = fmt::format("# One batch: this case, this scatter, this seed.\n# Of each bow: weight, belly, back, "
                                       "glue and worst index, mass, comfortable.\n# seed = {}\n{}\n{}",
                                       plan.seed, scatter_words(plan.sizes), bow_case.resolved);
  const std::filesystem::path file = place / "batch.txt";
  if (std::filesystem::exists(file))
  {
    if (read_text_file(file) != mark)
      throw std::runtime_error(
          place.string() +
          " holds a batch of another bow file, scatter, seed or program version; name another folder with --out");
    return;
  }
  write_text_file(file, mark);
}

BatchBows BatchFolder::done() const
{
  BatchBows bows;
  for (const auto &entry : std::filesystem::directory_iterator(place))
  {
    if (entry.path().filename().string().rfind("bows-", 0) != 0)
      continue;
    std::ifstream file(entry.path());
    for (std::string line; std::getline(file, line);)
    {
      // A line that an interruption cut off has no end mark.
      std::istringstream words(line);
      std::size_t i = 0;
      std::string numbers[7], end;
      words >> i;
      for (std::string &number : numbers)
        words >> number;
      if (words >> end; end != ".")
        continue;
      BatchBow bow;
      double *into[7] = {&bow.weight,      &bow.belly_index, &bow.back_index, &bow.glue_index,
                         &bow.worst_index, &bow.mass,        &bow.comfortable};
      for (std::size_t k = 0; k < 7; ++k)
        *into[k] = std::strtod(numbers[k].c_str(), nullptr);
      bows[i] = bow;
    }
  }
  return bows;
}

void BatchFolder::add(int rank, std::size_t i, const BatchBow &bow) const
{
  const std::filesystem::path file = place / fmt::format("bows-{}.txt", rank);
  std::ofstream stream(file, std::ios::app);
  stream << fmt::format("\n{} {:.17g} {:.17g} {:.17g} {:.17g} {:.17g} {:.17g} {:.0f} .", i, bow.weight, bow.belly_index,
                        bow.back_index, bow.glue_index, bow.worst_index, bow.mass, bow.comfortable)
         << std::flush;
  if (!stream)
    throw CannotWrite(file, "the disk may be full");
}

void run_share(const Case &bow_case, const BatchPlan &plan, const BatchFolder &folder, const BatchBows &done, int rank,
               int n_ranks, const std::function<void(std::size_t done, std::size_t of)> &told, const std::atomic<bool> *stop)
{
  const std::vector<Tolerance> tolerances = tolerances_of(bow_case, plan.sizes);
  std::vector<std::size_t> mine;
  std::size_t n_missing = 0;
  for (std::size_t i = 0; i < plan.n_bows; ++i)
    if (!done.contains(i) && static_cast<int>(n_missing++ % static_cast<std::size_t>(n_ranks)) == rank)
      mine.push_back(i);
  const auto pattern = mine.empty() ? nullptr : batch_pattern(bow_case, stop);
  for (std::size_t k = 0; k < mine.size(); ++k)
  {
    const BatchBow bow = draw_one_of_batch(bow_case, tolerances, plan, mine[k], pattern.get(), stop);
    if (stop != nullptr && stop->load())
      return;
    folder.add(rank, mine[k], bow);
    if (told)
      told(k + 1, mine.size());
  }
}

double LinearSpread::deviation() const
{
  double sum = 0.;
  for (const double effect : effects)
    sum += effect * effect;
  return std::sqrt(sum);
}

std::optional<LinearSpread> linear_spread(const Case &bow_case, const std::vector<Tolerance> &tolerances,
                                          const std::atomic<bool> *stop)
{
  const DrawnBow bow(bow_in_use(bow_case).bow, bow_case.mesh, bow_case.solve, stop);
  if (!bow.results().complete)
    return std::nullopt;
  LinearSpread spread;
  spread.nominal_weight = bow.results().draw_weight;
  constexpr double small = 0.01; // [1] standard deviations
  for (std::size_t t = 0; t < tolerances.size(); ++t)
  {
    std::vector<double> off(tolerances.size(), 0.);
    double effect = 0.;
    if (tolerances[t].kind != Tolerance::Kind::density)
    {
      // Where the mesh would gain a row of elements on one side, it does not on the other.
      for (const double side : {small, -small})
      {
        off[t] = side;
        try
        {
          effect = (bow.changed(bow_in_use(as_built(bow_case, tolerances, off)).bow).draw_weight - spread.nominal_weight) / side;
          break;
        }
        catch (const std::invalid_argument &)
        {
          if (side < 0.)
            return std::nullopt;
        }
      }
    }
    spread.effects.push_back(effect);
  }
  return spread;
}

BatchStatistics statistics_of(const BatchBows &bows, double aim)
{
  BatchStatistics s;
  double sum = 0., squares = 0., mass = 0., mass_squares = 0.;
  std::size_t within = 0, above = 0, comfortable = 0, back = 0;
  for (const auto &[i, bow] : bows)
  {
    if (!bow.drawn())
    {
      ++s.n_failed;
      ++above;
      continue;
    }
    ++s.n_drawn;
    sum += bow.weight;
    mass += bow.mass;
    within += std::abs(bow.weight - aim) <= 2. * pound_force ? 1 : 0;
    above += bow.worst_index >= 1. ? 1 : 0;
    comfortable += bow.comfortable > 0. ? 1 : 0;
    back += bow.back_index > bow.belly_index ? 1 : 0;
  }
  const double n = static_cast<double>(s.n_drawn), all = static_cast<double>(bows.size());
  s.mean = sum / n;
  for (const auto &[i, bow] : bows)
    if (bow.drawn())
    {
      squares += (bow.weight - s.mean) * (bow.weight - s.mean);
      mass_squares += (bow.mass - mass / n) * (bow.mass - mass / n);
    }
  s.deviation = std::sqrt(squares / (n - 1.));
  s.mass_deviation = std::sqrt(mass_squares / (n - 1.));
  s.share_within = static_cast<double>(within) / all;
  s.share_above_one = static_cast<double>(above) / all;
  s.share_comfortable = static_cast<double>(comfortable) / all;
  s.share_back_governs = static_cast<double>(back) / n;
  return s;
}
} // namespace limbwright
