// Files of this program that were damaged on the disk, or hold what no run has written.
#include "report/made_up_bow.h"

#include "cases/reader/case_reader.h"
#include "cases/report/checksum.h"
#include "cases/report/hdf5_file.h"
#include "cases/report/path_file.h"
#include "cases/report/read_results.h"
#include "cases/report/results_file.h"
#include "cases/report/text_file.h"
#include "cases/run/run_beside.h"
#include "fuzz/results_promises.h"

#include <catch2/catch.hpp>
#include <hdf5.h>

#include <algorithm>
#include <random>

using namespace limbwright;
using Catch::Contains;
namespace fs = std::filesystem;

namespace
{
/// A bow with knots, sloping grain and yielding wood, drawn coarsely and let down, with its results file.
struct Drawn
{
  made_up::Folder folder;
  fs::path file = folder.path / results_file_name;
  Case bow_case;
  DrawResults results;

  Drawn()
  {
    auto outcome = read_case(fs::path(LIMBWRIGHT_EXAMPLES) / "ash-pin-knot" / "ash-pin-knot.toml");
    bow_case = *outcome.read;
    bow_case.mesh.column_length = 0.08;
    bow_case.mesh.end_refinement = 0.;
    bow_case.solve.draw_steps = 2;
    results = run_draw_beside(bow_case, {}, {}, nullptr);
    write_results_file(file, bow_case, results);
  }
};

const Drawn &drawn()
{
  static const Drawn one;
  return one;
}

/// What a bad disk or a broken copy makes of a file: a flipped bit, a byte or a block of zeros, an end that is missing.
std::string damaged(const std::string &whole, std::mt19937 &random)
{
  std::string text = whole;
  while (text == whole)
  {
    const std::size_t at = random() % text.size(), n = std::min<std::size_t>(text.size() - at, 1 + random() % 4096);
    switch (random() % 4)
    {
    case 0:
      text[at] = static_cast<char>(text[at] ^ (1 << random() % 8));
      break;
    case 1:
      text[at] = static_cast<char>(random());
      break;
    case 2:
      std::fill_n(text.begin() + static_cast<std::ptrdiff_t>(at), n, '\0');
      break;
    default:
      text.resize(at);
    }
  }
  return text;
}

/// The file with results that were changed.
template <class Change>
fs::path written_with(const made_up::Folder &folder, Change change)
{
  DrawResults results = drawn().results;
  change(results);
  const fs::path file = folder.path / "changed.h5";
  write_results_file(file, drawn().bow_case, results);
  return file;
}
} // namespace

TEST_CASE("The checksum is the one of zip files", "[quick]")
{
  // The check value of CRC-32 as catalogues of such sums list it (for example Cook, Catalogue of parametrised CRC algorithms).
  const made_up::Folder folder;
  write_text_file(folder.path / "digits", "123456789 and more");
  CHECK(checksum(folder.path / "digits", 9) == "cbf43926");
  CHECK(checksum(folder.path / "digits") != "cbf43926");
}

TEST_CASE("Whatever damages a file is found before it is read", "[quick]")
{
  std::mt19937 random(20261130);
  const made_up::Folder folder;
  const fs::path spoilt = folder.path / "spoilt.h5";
  REQUIRE_NOTHROW(read_results_file(drawn().file));
  const std::string results = read_text_file(drawn().file);
  for (int i = 0; i < 250; ++i)
  {
    INFO("damage " << i);
    write_text_file(spoilt, damaged(results, random));
    CHECK_THROWS_WITH(read_results_file(spoilt), Contains("spoilt.h5") && Contains("checksum"));
  }

  DrawPath path;
  path.steps.resize(1);
  path.steps[0].state.q = {Eigen::VectorXd::LinSpaced(500, 0., 1.)};
  path.steps[0].state.scalars = Eigen::VectorXd::Zero(1);
  path.steps[0].history.resize(1);
  const fs::path begun = folder.path / "begun.h5";
  write_path_file(begun, drawn().bow_case, {}, path);
  REQUIRE_NOTHROW(read_path_file(begun, drawn().bow_case, {}));
  const std::string kept = read_text_file(begun);
  for (int i = 0; i < 250; ++i)
  {
    INFO("damage " << i);
    write_text_file(spoilt, damaged(kept, random));
    CHECK_THROWS_AS(read_path_file(spoilt, drawn().bow_case, {}), CannotResume);
  }
}

TEST_CASE("A results file without a checksum is refused", "[quick]")
{
  const made_up::Folder folder;
  const fs::path old = folder.path / "old.h5";
  H5Fclose(H5Fcreate(old.c_str(), H5F_ACC_TRUNC, H5P_DEFAULT, H5P_DEFAULT));
  CHECK_THROWS_WITH(read_results_file(old), Contains("old.h5") && Contains("earlier version"));
}

TEST_CASE("Values that no run has are refused, the checksum right or not", "[quick]")
{
  const made_up::Folder folder;
  const auto refused = [&](auto change, const std::string &words)
  { CHECK_THROWS_WITH(read_results_file(written_with(folder, change)), Contains("changed.h5") && Contains(words)); };
  REQUIRE_NOTHROW(read_results_file(written_with(folder, [](DrawResults &) {})));
  refused([](DrawResults &r) { r.snapshots.back().limbs[0].faces[3].lamination = 99; }, "lamination 99 of");
  refused([](DrawResults &r) { r.snapshots.back().limbs[0].sections[3].x = not_known; }, "'x' has a value that is not a number");
  refused([](DrawResults &r) { r.draw_curve[1].force = not_known; }, "'force' has a value that is not a number");
  refused([](DrawResults &r) { r.worst.front().glue_line = 7; }, "glue line 7 of");
  refused([](DrawResults &r) { r.worst.front().limb = LimbName::lower; }, "a lower limb");
  refused([](DrawResults &r) { r.flaw_costs.at(0).flaws.at(0).flaw.number = 40; }, "flaw 40 of");
  refused([](DrawResults &r) { r.snapshots.back().limbs.clear(); }, "0 limbs");
  refused([](DrawResults &r) { r.snapshots.clear(); }, "no state of the bow");
  refused([](DrawResults &r) { r.draw_weight = not_known; }, "'draw_weight_N' has a value that is not a number");
}

TEST_CASE("Whatever stands in a results file, it is told or refused", "[quick]")
{
  std::mt19937 random(7);
  const made_up::Folder folder;
  const fs::path spoilt = folder.path / "spoilt.h5";
  int n_told = 0, n_refused = 0;
  for (int i = 0; i < 60; ++i)
  {
    INFO("file " << i);
    fs::copy_file(drawn().file, spoilt, fs::copy_options::overwrite_existing);
    std::vector<std::uint8_t> bytes(64);
    std::generate(bytes.begin(), bytes.end(), [&] { return static_cast<std::uint8_t>(random()); });
    fuzz::spoil_stored(spoilt, {bytes.data(), bytes.size()});
    REQUIRE_NOTHROW(fuzz::tells_or_refuses(spoilt) ? ++n_told : ++n_refused);
  }
  CHECK(n_refused > 0);
  CHECK(n_told + n_refused == 60);
}
