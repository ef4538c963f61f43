#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include <unistd.h>

#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <string>
#include <vector>

namespace
{
nlohmann::json drawn_on(int n_ranks, const std::filesystem::path &case_file, const std::filesystem::path &folder)
{
  const std::filesystem::path results = folder / ("on_" + std::to_string(n_ranks));
  const std::string command =
      "OMPI_ALLOW_RUN_AS_ROOT=1 OMPI_ALLOW_RUN_AS_ROOT_CONFIRM=1 OPENBLAS_NUM_THREADS=1 mpirun --oversubscribe -np " +
      std::to_string(n_ranks) + " " LIMBWRIGHT_PROGRAM " draw --quiet --dim 3 " + case_file.string() + " --out " +
      results.string() + " > " + (folder / "answer.txt").string();
  INFO(command);
  REQUIRE(std::system(command.c_str()) == 0);
  nlohmann::json summary;
  std::ifstream(results / "summary.json") >> summary;
  return summary;
}
} // namespace

TEST_CASE("A solid on one, two and three ranks comes to the same bow", "[slow]")
{
  const auto folder = std::filesystem::temp_directory_path() / ("limbwright_ranks_" + std::to_string(::getpid()));
  std::filesystem::create_directories(folder);
  const auto case_file = folder / "bow.toml";
  {
    std::ifstream example(std::filesystem::path(LIMBWRIGHT_TEST_DATA) / ".." / ".." /
                          "cases/examples/maple-glass-thin/maple-glass-thin.toml");
    std::ofstream file(case_file);
    file << example.rdbuf() << "\n[mesh]\ncolumn_length = \"1.5 in\"\nrows_per_lamination = 1\nend_refinement = 1\nstrips = 1\n"
         << "[solve]\nwood = \"elastic\"\ncycles = 0\n";
  }
  const auto one = drawn_on(1, case_file, folder);
  for (const int n : {2, 3})
  {
    const auto several = drawn_on(n, case_file, folder);
    for (const char *key :
         {"draw_weight_N", "brace_tension_N", "full_draw_tension_N", "stored_energy_J", "string_slack_length_m"})
    {
      INFO(key << " on " << n << " ranks");
      CHECK(std::abs(several.at(key).get<double>() / one.at(key).get<double>() - 1.) < 1e-8);
    }
    REQUIRE(several.at("worst").size() == one.at("worst").size());
    for (std::size_t i = 0; i < 3; ++i)
      CHECK(std::abs(several["worst"][i]["index"].get<double>() / one["worst"][i]["index"].get<double>() - 1.) < 1e-8);
  }
  std::filesystem::remove_all(folder);
}
