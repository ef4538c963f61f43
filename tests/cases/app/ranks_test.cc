#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include <vtkCellData.h>
#include <vtkNew.h>
#include <vtkPointData.h>
#include <vtkUnstructuredGrid.h>
#include <vtkXMLPUnstructuredGridReader.h>
#include <vtkXMLUnstructuredGridReader.h>

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
// What a reader finds in a field file: cells, point fields, cell fields, and the sum of a field over the cells.
struct FieldFile
{
  long cells, on_points, on_cells;
  double layers;
};

template <class Reader>
FieldFile read_fields(const std::filesystem::path &file)
{
  vtkNew<Reader> reader;
  reader->SetFileName(file.c_str());
  reader->Update();
  vtkUnstructuredGrid *grid = reader->GetOutput();
  FieldFile found{grid->GetNumberOfCells(), grid->GetPointData()->GetNumberOfArrays(), grid->GetCellData()->GetNumberOfArrays(),
                  0.};
  vtkDataArray *layer = grid->GetCellData()->GetArray("layer from belly");
  for (vtkIdType i = 0; layer != nullptr && i < grid->GetNumberOfCells(); ++i)
    found.layers += layer->GetTuple1(i);
  return found;
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
    // Each process wrote its own columns' fields; together they are those of one.
    const auto fields = folder / ("on_" + std::to_string(n)) / "fields";
    const FieldFile together = read_fields<vtkXMLPUnstructuredGridReader>(fields / "step_2.pvtu");
    const FieldFile alone = read_fields<vtkXMLUnstructuredGridReader>(folder / "on_1" / "fields" / "step_2.vtu");
    CHECK(std::filesystem::exists(fields / ("step_2_part_" + std::to_string(n - 1) + ".vtu")));
    CHECK(alone.cells > 0);
    CHECK(together.cells == alone.cells);
    CHECK(together.layers == alone.layers);
    CHECK(together.on_points == alone.on_points);
    CHECK(together.on_cells == alone.on_cells);
    CHECK(read_fields<vtkXMLPUnstructuredGridReader>(fields / "step_2_glue.pvtu").cells ==
          read_fields<vtkXMLUnstructuredGridReader>(folder / "on_1" / "fields" / "step_2_glue.vtu").cells);
  }
  std::filesystem::remove_all(folder);
}
