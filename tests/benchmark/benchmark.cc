// Times stringing and drawing a bow on a ladder of meshes, beside a dense factorisation that tells how fast the machine and its
// BLAS are. Exit code 1 when a target of iterations is missed; seconds are printed and judged by the reader.
//   limbwright_benchmark [all|targets]
#include "cases/reader/case_reader.h"
#include "cases/reader/embedded_files.h"
#include "solver/stages/draw_bow.h"

#include <Eigen/Core>
#include <fmt/core.h>

#include <malloc.h>

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <ctime>
#include <fstream>
#include <map>
#include <set>
#include <stdexcept>
#include <string>
#include <vector>

// LAPACK's Cholesky factorisation.
extern "C" void dpotrf_(const char *uplo, const int *n, double *a, const int *lda, int *info);

using namespace limbwright;

namespace
{
constexpr int n_runs = 5, most_iterations = 26;

// A straight limb of wood between two sheets of glass, all of it our own invention.
constexpr const char *straight_limb = R"(
title = "Straight limb of maple between glass"
[bow]
nock_to_nock = "1600 mm"
brace_height = "170 mm"
draw_length = "710 mm"
draw_convention = "pivot"
[handle]
rigid_half_length = "100 mm"
throat_to_back = "45 mm"
[string]
EA = "25000 lbf"
[limb]
width = {{s = "mm", width = "mm", rows = [[100, 38], [800, 14]]}}
nock = {{depth = "belly"}}
[[limb.lamination]]
name = "belly glass"
material = "glass-bow"
thickness = "0.8 mm"
[[limb.lamination]]
name = "core"
material = "hard-maple"
thickness = {{s = "mm", thickness = "mm", rows = [[100, 11.4], [800, 7.4]]}}
[[limb.lamination]]
name = "back glass"
material = "glass-bow"
thickness = "0.8 mm"
[glue]
adhesive = "epoxy"
thickness = "0.1 mm"
[mesh]
column_length = "{} mm"
rows_per_lamination = {}
)";

/// The targets are those of an elastic bow that is left drawn.
Case elastic(Case bow_case)
{
  bow_case.solve.wood_yields = false;
  bow_case.solve.cycles = 0;
  return bow_case;
}

Case read(const std::string &text, const std::string &name)
{
  ReadOutcome outcome = read_case_text(text, name + ".toml");
  for (const Diagnostic &error : outcome.errors)
    fmt::print(stderr, "{}\n", format(error));
  if (!outcome.read)
    throw std::runtime_error("the case of the benchmark cannot be read");
  return *outcome.read;
}

Case ladder_case(double column_length_mm, int rows)
{
  return read(fmt::format(straight_limb, column_length_mm, rows), "straight-limb");
}

Case example_case(const std::string &name)
{
  for (const auto &example : embedded_examples())
    if (example.name == name)
      return read(std::string(example.text), std::string(example.name));
  throw std::runtime_error("the example of the benchmark is not there");
}

double seconds_since(std::chrono::steady_clock::time_point start)
{
  return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}

// Of this process on all its threads [s]: what the wall clock would show on a machine with nothing else to do.
double processor_seconds()
{
  return static_cast<double>(std::clock()) / CLOCKS_PER_SEC;
}

double median(std::vector<double> values)
{
  std::sort(values.begin(), values.end());
  return values[values.size() / 2];
}

// From here on the kernel counts the peak anew.
void forget_peak_memory()
{
  malloc_trim(0);
  std::ofstream("/proc/self/clear_refs") << 5;
}

double peak_memory_mb()
{
  std::ifstream status("/proc/self/status");
  std::string word;
  while (status >> word)
    if (word == "VmHWM:")
    {
      double kilobytes = 0.;
      status >> kilobytes;
      return kilobytes * 1024. / 1e6;
    }
  return 0.;
}

struct Measured
{
  DrawResults results;
  double seconds, processor, memory_mb;
};

Measured draw(const Case &bow_case)
{
  forget_peak_memory();
  const auto start = std::chrono::steady_clock::now();
  const double processor_start = processor_seconds();
  DrawResults results = draw_bow(bow_in_use(bow_case).bow, bow_case.mesh, bow_case.solve, {}, {}, {}, nullptr);
  if (!results.complete)
    throw std::runtime_error("the bow was not drawn: " + results.reason);
  return {std::move(results), seconds_since(start), processor_seconds() - processor_start, peak_memory_mb()};
}

int iterations(const Measured &run)
{
  return run.results.solve.brace_iterations + run.results.solve.draw_iterations;
}

void print_heads()
{
  fmt::print("{:>8} {:>6} {:>9} {:>11} {:>7} {:>7} {:>9} {:>7} {:>9} {:>8} {:>8} {:>8}\n", "columns", "cells", "unknowns",
             "iterations", "mesh", "set up", "assembly", "factor", "solution", "indices", "all [s]", "MB peak");
}

void print(const Measured &run)
{
  const SolveReport &solve = run.results.solve;
  std::map<std::string, double> phase;
  for (const PhaseTime &time : solve.phases)
    phase[time.phase] = time.seconds;
  fmt::print("{:>8} {:>6} {:>9} {:>11} {:>7.3f} {:>7.3f} {:>9.3f} {:>7.3f} {:>9.3f} {:>8.3f} {:>8.3f} {:>8.0f}\n", solve.columns,
             solve.cells, solve.unknowns, fmt::format("{} + {}", solve.brace_iterations, solve.draw_iterations), phase.at("mesh"),
             phase.at("set up"), phase.at("string and draw: assembly"), phase.at("string and draw: factorisation"),
             phase.at("string and draw: solution"), phase.at("indices and fields"), run.seconds, run.memory_mb);
}

struct Seconds
{
  double clock, processor;
};

Seconds medians(const std::vector<Seconds> &runs)
{
  std::vector<double> clock, processor;
  for (const Seconds &run : runs)
  {
    clock.push_back(run.clock);
    processor.push_back(run.processor);
  }
  return {median(clock), median(processor)};
}

// Cholesky factorisation of a dense matrix of 2000 rows: 2.7 thousand million operations.
Seconds yardstick()
{
  const int n = 2000;
  Eigen::MatrixXd matrix(n, n);
  for (int j = 0; j < n; ++j)
    for (int i = 0; i < n; ++i)
      matrix(i, j) = i == j ? 2. : 1. / (1. + (i - j) * (i - j));
  const char lower = 'L';
  int info = 0;
  const auto start = std::chrono::steady_clock::now();
  const double processor_start = processor_seconds();
  dpotrf_(&lower, &n, matrix.data(), &n, &info);
  const Seconds spent{seconds_since(start), processor_seconds() - processor_start};
  if (info != 0)
    throw std::runtime_error("the dense matrix was not factorised");
  return spent;
}

// The dense library that the loader chose.
std::string blas_in_use()
{
  std::ifstream maps("/proc/self/maps");
  std::set<std::string> files;
  std::string line;
  while (std::getline(maps, line))
    if (const auto at = line.find('/'); at != std::string::npos)
      for (const char *name : {"libblas", "liblapack", "libopenblas"})
        if (line.find(name, at) != std::string::npos)
          files.insert(line.substr(at));
  std::string list;
  for (const std::string &file : files)
    list += (list.empty() ? "" : ", ") + file;
  return list;
}

// wanted: [s] on the two-core machine that the program was made on. The iterations of a bow that yields or snaps are not judged.
bool report_target(const std::string &name, const Case &bow_case, double yard, double wanted, bool judged = true)
{
  std::vector<Seconds> runs;
  int most = 0;
  for (int i = 0; i < n_runs; ++i)
  {
    const Measured run = draw(bow_case);
    runs.push_back({run.seconds, run.processor});
    most = std::max(most, iterations(run));
    if (i == 0)
      fmt::print("{}, {} unknowns: ", name, run.results.solve.unknowns);
  }
  const Seconds spent = medians(runs);
  fmt::print("{} iterations{}, clock {:.3f} s, processor {:.3f} s (aim {:.1f} s), {:.1f} yardsticks\n", most,
             judged ? fmt::format(" ({} allowed)", most_iterations) : "", spent.clock, spent.processor, wanted,
             spent.processor / yard);
  return !judged || most <= most_iterations;
}

int run_benchmark(bool with_ladder)
{
  fmt::print("Dense library: {}\n", blas_in_use());
  std::vector<Seconds> yards;
  for (int i = 0; i < n_runs; ++i)
    yards.push_back(yardstick());
  const Seconds yard_seconds = medians(yards);
  const double yard = yard_seconds.processor;
  fmt::print(
      "Yardstick, dense Cholesky factorisation of 2000 x 2000 by LAPACK: clock {:.3f} s, processor {:.3f} s (medians of {})\n\n",
      yard_seconds.clock, yard, n_runs);

  // Column lengths [mm] and rows in each lamination that give about 2, 4, 8, 16, 32, 64 and 100 thousand unknowns.
  const Case target = elastic(ladder_case(5.25, 2));
  if (with_ladder)
  {
    fmt::print("Seconds by phase, one run each. Straight limb of maple between glass:\n");
    print_heads();
    for (const auto &[length, rows] : {std::pair{12.5, 1}, {6.3, 1}, {5.25, 2}, {2.62, 2}, {2.36, 4}, {1.18, 4}, {0.92, 5}})
      print(draw(elastic(ladder_case(length, rows))));
    fmt::print("Example maple-glass-thin, default mesh:\n");
    print(draw(elastic(example_case("maple-glass-thin"))));
    fmt::print("Wood that yields, drawn twice, let down and unstrung (iterations to the first full draw):\n");
    for (const char *name : {"maple-glass-thin", "spruce-linen-flatbow", "ash-hickory-board"})
    {
      fmt::print("{}:\n", name);
      print(draw(example_case(name)));
    }
    fmt::print("\n");
  }
  fmt::print("Medians of {} runs, mesh to indices, without fields:\n", n_runs);
  const bool straight = report_target("straight limb", target, yard, 0.5);
  const bool example = report_target("maple-glass-thin, default mesh", elastic(example_case("maple-glass-thin")), yard, 1.2);
  report_target("spruce-linen-flatbow, yielding, drawn twice, let down", example_case("spruce-linen-flatbow"), yard, 5., false);
  report_target("maple-glass-void-riser, a loose layer over wood that yields", example_case("maple-glass-void-riser"), yard, 20.,
                false);
  return straight && example ? 0 : 1;
}
} // namespace

int main(int argc, char **argv)
{
  const std::string extent = argc > 1 ? argv[1] : "all";
  if (argc > 2 || (extent != "all" && extent != "targets"))
  {
    fmt::print(stderr, "Usage: limbwright_benchmark [all|targets]\n");
    return 2;
  }
  try
  {
    return run_benchmark(extent == "all");
  }
  catch (const std::exception &error)
  {
    fmt::print(stderr, "limbwright_benchmark: {}\n", error.what());
    return 1;
  }
}
