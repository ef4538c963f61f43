#include "cases/reader/case_reader.h"
#include "cases/reader/embedded_files.h"
#include "cases/study/batch.h"
#include "cases/study/case_edit.h"
#include "cases/study/sizing.h"
#include "solver/results.h"
#include "solver/stages/bow_pattern.h"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>
#include <fstream>
#include <unistd.h>

using namespace limbwright;

namespace
{
Case coarse_ash(const std::string &wood = "elastic")
{
  const auto &all = embedded_examples();
  std::string text = std::find_if(all.begin(), all.end(), [](const auto &one) { return one.name == "ash-hickory-board"; })->text;
  text = with_value(with_value(text, "mesh.column_length", "1 in").text, "solve.wood", wood).text;
  ReadOutcome outcome = read_case_text(text, "ash.toml");
  REQUIRE(outcome.read);
  return *outcome.read;
}

struct Scratch
{
  std::filesystem::path place = std::filesystem::temp_directory_path() / ("limbwright_batch_" + std::to_string(::getpid()));
  Scratch() { std::filesystem::create_directories(place); }
  ~Scratch() { std::filesystem::remove_all(place); }
};

BatchBows on_ranks(const Case &bow, const BatchPlan &plan, const std::filesystem::path &place, int n_ranks)
{
  const BatchFolder folder(place, bow, plan);
  const BatchBows before = folder.done();
  for (int rank = 0; rank < n_ranks; ++rank)
    run_share(bow, plan, folder, before, rank, n_ranks, {}, nullptr);
  return folder.done();
}

bool same(const BatchBows &a, const BatchBows &b)
{
  return a.size() == b.size() && std::equal(a.begin(), a.end(), b.begin(),
                                            [](const auto &x, const auto &y)
                                            {
                                              return x.first == y.first && x.second.weight == y.second.weight &&
                                                     x.second.worst_index == y.second.worst_index &&
                                                     x.second.mass == y.second.mass;
                                            });
}
} // namespace

TEST_CASE("Points of a batch fill the space evenly, alike for a seed", "[quick]")
{
  constexpr std::size_t n = 256, dimensions = 20;
  std::vector<double> sum(dimensions), squares(dimensions);
  for (std::size_t i = 0; i < n; ++i)
  {
    const auto point = batch_point(i, dimensions, 7);
    REQUIRE(point.size() == dimensions);
    CHECK(point == batch_point(i, dimensions, 7));
    for (std::size_t d = 0; d < dimensions; ++d)
    {
      sum[d] += point[d] / n;
      squares[d] += point[d] * point[d] / n;
    }
  }
  CHECK(batch_point(3, dimensions, 7) != batch_point(3, dimensions, 8));
  for (std::size_t d = 0; d < dimensions; ++d)
  {
    // Plain random numbers would be off by 1/sqrt(256) = 0.06 in the mean.
    CHECK(std::abs(sum[d]) < 0.02);
    CHECK(squares[d] == Approx(1.).margin(0.05));
  }
}

TEST_CASE("Scatter is set by name", "[quick]")
{
  ScatterSizes sizes;
  std::string error;
  set_scatter(sizes, "wood_modulus = 10 %", error);
  CHECK(error.empty());
  CHECK(sizes.wood_modulus == Approx(0.1));
  set_scatter(sizes, "draw=0.2 in", error);
  CHECK(sizes.draw == Approx(0.2 * 0.0254));
  for (const char *wrong : {"wood_modulus", "wod_modulus = 3 %", "width = 80 %", "draw = 3 lbf", "width = -1 %"})
  {
    error.clear();
    set_scatter(sizes, wrong, error);
    INFO(wrong);
    CHECK_FALSE(error.empty());
  }
}

TEST_CASE("A bow as built is off by what was told", "[quick]")
{
  const Case bow = coarse_ash();
  const auto tolerances = tolerances_of(bow, {});
  std::vector<double> off(tolerances.size(), 0.);
  const auto find = [&](const std::string &words)
  {
    const auto found =
        std::find_if(tolerances.begin(), tolerances.end(), [&](const Tolerance &one) { return one.words == words; });
    REQUIRE(found != tolerances.end());
    return static_cast<std::size_t>(found - tolerances.begin());
  };
  off[find("thickness of belly")] = 2.;
  off[find("modulus of back")] = -1.;
  off[find("strength of belly at its modulus")] = 1.;
  const Case built = as_built(bow, tolerances, off);
  CHECK(built.bow.upper.laminations[0].thickness.value[0] ==
        Approx(bow.bow.upper.laminations[0].thickness.value[0] + 2. * 0.002 * 0.0254));
  const auto modulus = [](const Case &one, std::size_t i)
  { return one.bow.materials.at(one.bow.upper.laminations[i].material).constants.E_L; };
  CHECK(modulus(built, 0) == modulus(bow, 0));
  CHECK(modulus(built, 1) == Approx(0.78 * modulus(bow, 1)));
  // Strengths by wood_variation.h: the back's follow its modulus, the belly's are off by what is left at its modulus.
  const auto strengths = [](const Case &one, std::size_t i)
  { return one.bow.materials.at(one.bow.upper.laminations[i].material).strengths; };
  CHECK(strengths(built, 1).tension_L == Approx((1. - .25 * .6) * strengths(bow, 1).tension_L));
  CHECK(strengths(built, 1).shear_LR == Approx((1. - .14 * .4) * strengths(bow, 1).shear_LR));
  CHECK(strengths(built, 0).compression_L == Approx((1. + .18 * .8) * strengths(bow, 0).compression_L));
  CHECK(strengths(built, 0).tension_L == Approx((1. + .25 * .8) * strengths(bow, 0).tension_L));
}

TEST_CASE("Modulus and strength of the pieces of a batch vary and correlate as was stated", "[quick]")
{
  const Case bow = coarse_ash();
  const auto tolerances = tolerances_of(bow, {});
  constexpr int n = 512;
  const auto &nominal = bow.bow.materials.at(bow.bow.upper.laminations[1].material);
  double squares_of_modulus = 0., squares_of_strength = 0., products = 0., mean_strength = 0.;
  for (int i = 0; i < n; ++i)
  {
    const Case built = as_built(bow, tolerances, batch_point(static_cast<std::uint64_t>(i), tolerances.size(), 1));
    const Material &back = built.bow.materials.at(built.bow.upper.laminations[1].material);
    const double modulus = back.constants.E_L / nominal.constants.E_L - 1.,
                 strength = back.strengths.tension_L / nominal.strengths.tension_L - 1.;
    squares_of_modulus += modulus * modulus / n;
    squares_of_strength += strength * strength / n;
    products += modulus * strength / n;
    mean_strength += strength / n;
  }
  CHECK(mean_strength == Approx(0.).margin(0.01));
  CHECK(std::sqrt(squares_of_modulus) == Approx(.22).epsilon(0.03));
  CHECK(std::sqrt(squares_of_strength) == Approx(.25).epsilon(0.03));
  CHECK(products / std::sqrt(squares_of_modulus * squares_of_strength) == Approx(.6).margin(0.05));
}

TEST_CASE("A batch is the same on any number of ranks, and goes on where it was stopped", "[quick]")
{
  const Case bow = coarse_ash();
  BatchPlan plan;
  plan.n_bows = 6;
  const Scratch scratch;
  const BatchBows one = on_ranks(bow, plan, scratch.place / "one", 1);
  REQUIRE(one.size() == 6);
  for (const auto &[i, each] : one)
    CHECK(each.drawn());
  CHECK(same(one, on_ranks(bow, plan, scratch.place / "two", 2)));
  // Stopped after two bows, in the midst of writing a third.
  plan.n_bows = 2;
  on_ranks(bow, plan, scratch.place / "rest", 1);
  std::ofstream(scratch.place / "rest" / "bows-0.txt", std::ios::app) << "\n2 199.3 0.4";
  plan.n_bows = 6;
  CHECK(same(one, on_ranks(bow, plan, scratch.place / "rest", 3)));
  // Another seed is another batch.
  plan.seed = 2;
  CHECK_THROWS_AS(BatchFolder(scratch.place / "one", bow, plan), std::runtime_error);
}

TEST_CASE("A bow of a batch comes from the bow as drawn up to where it comes from nothing", "[quick]")
{
  for (const std::string wood : {"elastic", "yields"})
  {
    const Case bow = coarse_ash(wood);
    const BatchPlan plan;
    const auto tolerances = tolerances_of(bow, plan.sizes);
    const auto pattern = batch_pattern(bow, nullptr), bare = batch_pattern(bow, nullptr);
    REQUIRE(pattern);
    REQUIRE(pattern->drawn());
    bare->forget_states(); // its columns alone
    for (std::size_t i = 0; i < 4; ++i)
    {
      INFO(wood << ", bow " << i);
      const BatchBow helped = draw_one_of_batch(bow, tolerances, plan, i, pattern.get(), nullptr);
      const BatchBow alone = draw_one_of_batch(bow, tolerances, plan, i, bare.get(), nullptr);
      REQUIRE(alone.drawn());
      CHECK(helped.weight == Approx(alone.weight).epsilon(1e-6));
      CHECK(helped.belly_index == Approx(alone.belly_index).epsilon(1e-6));
      CHECK(helped.back_index == Approx(alone.back_index).epsilon(1e-6));
      CHECK(helped.glue_index == Approx(alone.glue_index).epsilon(1e-6));
      CHECK(helped.worst_index == Approx(alone.worst_index).epsilon(1e-6));
      CHECK(helped.mass == alone.mass);
      const Case built = as_built(bow, tolerances, batch_point(i, tolerances.size(), plan.seed));
      const auto iterations = [&](const BowPattern &from)
      {
        const DrawResults results = draw_quickly(built, false, nullptr, &from);
        return results.solve.brace_iterations + results.solve.draw_iterations;
      };
      CHECK(iterations(*pattern) < iterations(*bare)); // where it falls back to the whole way, what was tried adds to it
    }
  }
}

TEST_CASE("What is told of a batch follows from its bows", "[quick]")
{
  constexpr double pound = 4.4482216152605;
  BatchBows bows;
  const double weights[] = {40.5, 41., 43., 43.5};
  for (std::size_t i = 0; i < 4; ++i)
    bows[i] = {weights[i] * pound, 0.5, 0.5, 0.5, i == 0 ? 1.2 : 0.5, 0.4};
  bows[4] = {not_known, not_known, not_known, not_known, not_known, not_known};
  const BatchStatistics s = statistics_of(bows, 42. * pound);
  CHECK(s.n_failed == 1);
  CHECK(s.mean == Approx(42. * pound));
  CHECK(s.deviation == Approx(std::sqrt(6.5 / 3.) * pound));
  CHECK(s.share_within == Approx(0.8));
  CHECK(s.share_above_one == Approx(0.4));
}
