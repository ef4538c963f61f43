#include "solver/fields/vtu_writer.h"

#include <catch2/catch.hpp>

#include <vtkCell.h>
#include <vtkCellData.h>
#include <vtkDataArray.h>
#include <vtkNew.h>
#include <vtkPointData.h>
#include <vtkUnstructuredGrid.h>
#include <vtkXMLUnstructuredGridReader.h>

#include <cstdlib>
#include <fstream>
#include <iterator>
#include <limits>

using namespace limbwright;
using Catch::Contains;
namespace fs = std::filesystem;

namespace
{
class TemporaryFolder
{
public:
  TemporaryFolder()
  {
    std::string name = (fs::temp_directory_path() / "limbwright-vtu-XXXXXX").string();
    REQUIRE(::mkdtemp(name.data()) != nullptr);
    path = name;
  }
  ~TemporaryFolder()
  {
    std::error_code ignored;
    fs::remove_all(path, ignored);
  }
  TemporaryFolder(const TemporaryFolder &) = delete;
  TemporaryFolder &operator=(const TemporaryFolder &) = delete;
  fs::path path;
};

/// Two quadrilaterals side by side, 2 m by 1 m, which share a side.
FieldMesh two_quads()
{
  FieldMesh mesh;
  for (int j = 0; j < 3; ++j)
    for (int i = 0; i < 5; ++i)
      mesh.points.push_back({0.5 * i, 0.5 * j, 0.});
  for (const int left : {0, 2})
    mesh.cells.push_back({left, left + 2, left + 12, left + 10, left + 1, left + 7, left + 11, left + 5, left + 6});
  return mesh;
}

std::vector<double> stress()
{
  std::vector<double> values;
  for (int i = 0; i < 15; ++i)
    values.push_back(-50e6 + 10e6 * i);
  return values;
}
} // namespace

TEST_CASE("A field file reads back with names, units and ranges", "[quick]")
{
  const TemporaryFolder folder;
  const auto file = folder.path / "full_draw.vtu";
  std::vector<double> displacement(45, 0.);
  displacement[44] = -0.25;
  write_vtu(file, two_quads(),
            {{"stress along grain", "Pa", 1, stress(), false, false},
             {"displacement", "m", 3, displacement, false, false},
             {"layer", "", 1, {0., 3.}, true, true}});
  CHECK(std::distance(fs::directory_iterator(folder.path), fs::directory_iterator()) == 1);

  vtkNew<vtkXMLUnstructuredGridReader> reader;
  reader->SetFileName(file.c_str());
  reader->Update();
  auto *grid = reader->GetOutput();
  REQUIRE(grid->GetNumberOfPoints() == 15);
  REQUIRE(grid->GetNumberOfCells() == 2);
  CHECK(grid->GetCellType(0) == VTK_BIQUADRATIC_QUAD);
  double range[2];
  auto *read = grid->GetPointData()->GetArray("stress along grain [Pa]");
  REQUIRE(read != nullptr);
  read->GetRange(range);
  CHECK(range[0] == -50e6);
  CHECK(range[1] == 90e6);
  read = grid->GetPointData()->GetArray("displacement [m]");
  REQUIRE(read != nullptr);
  CHECK(read->GetNumberOfComponents() == 3);
  CHECK(read->GetComponent(14, 2) == -0.25);
  read = grid->GetCellData()->GetArray("layer");
  REQUIRE(read != nullptr);
  CHECK(read->GetDataType() == VTK_INT);
  CHECK(read->GetComponent(1, 0) == 3.);

  // The node order is VTK's: the middle of the second cell's local square is its centre.
  double place[3], weights[9];
  const double middle[3] = {0.5, 0.5, 0.};
  int sub = 0;
  grid->GetCell(1)->EvaluateLocation(sub, middle, place, weights);
  CHECK(place[0] == Approx(1.5));
  CHECK(place[1] == Approx(0.5));
  grid->GetCell(1)->EvaluateLocation(sub, std::vector<double>{0.25, 0.75, 0.}.data(), place, weights);
  CHECK(place[0] == Approx(1.25));
  CHECK(place[1] == Approx(0.75));
}

TEST_CASE("Lines of glue and solids are written as quadratic cells", "[quick]")
{
  const TemporaryFolder folder;
  FieldMesh mesh;
  mesh.cell = GENERATE(FieldMesh::Cell::line3, FieldMesh::Cell::hex27);
  const int n = nodes_per_cell(mesh.cell);
  mesh.cells.emplace_back();
  for (int i = 0; i < n; ++i)
  {
    mesh.points.push_back({1. * i, 0.1 * i, 0.01 * i});
    mesh.cells[0].push_back(i);
  }
  write_vtu(folder.path / "glue.vtu", mesh, {});
  vtkNew<vtkXMLUnstructuredGridReader> reader;
  reader->SetFileName((folder.path / "glue.vtu").c_str());
  reader->Update();
  REQUIRE(reader->GetOutput()->GetNumberOfCells() == 1);
  CHECK(reader->GetOutput()->GetCellType(0) == (n == 3 ? VTK_QUADRATIC_EDGE : VTK_TRIQUADRATIC_HEXAHEDRON));
}

TEST_CASE("Fields that do not fit their mesh are refused", "[quick]")
{
  const TemporaryFolder folder;
  const auto file = folder.path / "x.vtu";
  auto mesh = two_quads();
  CHECK_THROWS_WITH(write_vtu(file, mesh, {{"strain", "1", 1, {0., 1.}, false, false}}), Contains("strain"));
  CHECK_THROWS_WITH(write_vtu(file, mesh, {{"layer", "", 1, {0., 0.5}, true, true}}), Contains("whole numbers"));
  CHECK_THROWS_AS(write_vtu(file, mesh, {{"layer", "", 1, {0., std::numeric_limits<double>::quiet_NaN()}, true, true}}),
                  std::invalid_argument);
  mesh.cells[0][4] = 99;
  CHECK_THROWS_WITH(write_vtu(file, mesh, {}), Contains("99"));
  CHECK_FALSE(fs::exists(file));
}

TEST_CASE("A field file that cannot be written is named, and the earlier one stays", "[quick]")
{
  const TemporaryFolder folder;
  std::ofstream(folder.path / "file") << "text";
  CHECK_THROWS_WITH(write_vtu(folder.path / "file" / "x.vtu", two_quads(), {}), Contains("x.vtu") && Contains("Not a directory"));
  CHECK_THROWS_AS(write_pvd(folder.path / "file" / "x.pvd", {}), CannotWriteFields);

  // The temporary name leads to a disk that is always full.
  std::ofstream(folder.path / "full.vtu") << "earlier";
  fs::create_symlink("/dev/full", folder.path / "full.vtu.part");
  CHECK_THROWS_AS(write_vtu(folder.path / "full.vtu", two_quads(), {{"stress", "Pa", 1, stress(), false, false}}),
                  CannotWriteFields);
  std::ifstream earlier(folder.path / "full.vtu");
  CHECK(std::string(std::istreambuf_iterator<char>(earlier), {}) == "earlier");
  fs::create_symlink("/dev/full", folder.path / "full.pvd.part");
  CHECK_THROWS_WITH(write_pvd(folder.path / "full.pvd", {{1., "a.vtu", 0}}), Contains("No space left"));
}

TEST_CASE("A collection names its files at their draw lengths", "[quick]")
{
  const TemporaryFolder folder;
  write_pvd(folder.path / "limb.pvd", {{0., "unstrung.vtu", 0}, {26.25, "full_draw.vtu", 0}});
  std::ifstream file(folder.path / "limb.pvd");
  const std::string text(std::istreambuf_iterator<char>(file), {});
  CHECK_THAT(text, Contains("timestep=\"26.25\" group=\"\" part=\"0\" file=\"full_draw.vtu\""));
  CHECK_THROWS_AS(write_pvd(folder.path / "limb.pvd", {{0., "a\"b.vtu", 0}}), std::invalid_argument);
}
