#include "report/made_up_bow.h"

#include "cases/reader/case_reader.h"
#include "cases/report/write_results.h"
#include "cases/run/run.h"

#include <catch2/catch.hpp>

#include <vtkCellData.h>
#include <vtkDataArray.h>
#include <vtkNew.h>
#include <vtkPointData.h>
#include <vtkSmartPointer.h>
#include <vtkUnstructuredGrid.h>
#include <vtkXMLDataElement.h>
#include <vtkXMLUnstructuredGridReader.h>
#include <vtkXMLUtilities.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <regex>

using namespace limbwright;

namespace
{
struct Scene
{
  double time;
  vtkSmartPointer<vtkUnstructuredGrid> grid;
};

/// Every step of a collection, read as any viewer would.
std::vector<Scene> scenes(const std::filesystem::path &collection)
{
  const auto root = vtkSmartPointer<vtkXMLDataElement>::Take(vtkXMLUtilities::ReadElementFromFile(collection.c_str()));
  REQUIRE(root);
  auto *list = root->FindNestedElementWithName("Collection");
  REQUIRE(list != nullptr);
  std::vector<Scene> read;
  for (int i = 0; i < list->GetNumberOfNestedElements(); ++i)
  {
    double time = 0.;
    REQUIRE(list->GetNestedElement(i)->GetScalarAttribute("timestep", time) == 1);
    const auto file = collection.parent_path() / list->GetNestedElement(i)->GetAttribute("file");
    vtkNew<vtkXMLUnstructuredGridReader> reader;
    REQUIRE(reader->CanReadFile(file.c_str()) == 1);
    reader->SetFileName(file.c_str());
    reader->Update();
    read.push_back({time, reader->GetOutput()});
  }
  return read;
}

vtkDataArray *field(vtkUnstructuredGrid &grid, const std::string &name)
{
  auto *found = grid.GetPointData()->GetArray(name.c_str());
  return found != nullptr ? found : grid.GetCellData()->GetArray(name.c_str());
}

std::array<double, 2> range(vtkUnstructuredGrid &grid, const std::string &name)
{
  auto *found = field(grid, name);
  INFO(name);
  REQUIRE(found != nullptr);
  std::array<double, 2> limits{};
  found->GetRange(limits.data(), found->GetNumberOfComponents() > 1 ? -1 : 0);
  return limits;
}
} // namespace

TEST_CASE("Scenes open in VTK with the fields that the README names, in their units and ranges", "[quick]")
{
  auto outcome = read_case(std::filesystem::path(LIMBWRIGHT_EXAMPLES) / "maple-glass-thin" / "maple-glass-thin.toml");
  REQUIRE(outcome.read);
  outcome.read->mesh.column_length = 0.02;
  const Case &bow_case = *outcome.read;
  const made_up::Folder folder;
  const auto fields = folder.path / fields_folder;
  const DrawResults results = run_draw(bow_case, fields, {}, nullptr);
  REQUIRE(results.complete);
  const auto limb = scenes(fields / "limb.pvd"), glue = scenes(fields / "glue_lines.pvd");
  REQUIRE(limb.size() == results.snapshots.size() + results.let_down.snapshots.size());
  CHECK(glue.size() == limb.size());

  // Time is the draw in inches, and rises.
  constexpr double inch = 0.0254;
  for (std::size_t i = 0; i < limb.size(); ++i)
  {
    if (i > 0)
      CHECK(limb[i].time > limb[i - 1].time);
    if (i > 0 && i < results.snapshots.size())
      CHECK(limb[i].time == Approx(results.snapshots[i].point.draw / inch));
  }
  CHECK(limb.front().time == 0.);

  // Every field in quotes is there, at every step.
  const auto readme = results_readme(bow_case, results, {"fields/limb.pvd", "fields/glue_lines.pvd"});
  const std::regex quoted("'([^'\n]+)'");
  std::size_t n_named = 0;
  for (auto found = std::sregex_iterator(readme.begin(), readme.end(), quoted); found != std::sregex_iterator(); ++found)
  {
    const std::string name = (*found)[1];
    if (name == "index" || name == "told")
      continue;
    INFO(name);
    ++n_named;
    for (std::size_t i = 0; i < limb.size(); ++i)
      CHECK((field(*limb[i].grid, name) != nullptr || field(*glue[i].grid, name) != nullptr));
  }
  CHECK(n_named >= 12);

  auto &drawn = *limb[results.snapshots.size() - 1].grid;
  auto &drawn_glue = *glue[results.snapshots.size() - 1].grid;
  // Every field has its unit in brackets, but for marks and whole numbers.
  for (vtkUnstructuredGrid *grid : {&drawn, &drawn_glue})
    for (int i = 0; i < grid->GetPointData()->GetNumberOfArrays(); ++i)
    {
      const std::string name = grid->GetPointData()->GetArrayName(i);
      INFO(name);
      CHECK((name == "judged by the plane section" || std::regex_search(name, std::regex(" \\[(m|Pa|1|in|deg)\\]$"))));
      const auto [low, high] = range(*grid, name);
      CHECK((std::isfinite(low) && std::isfinite(high)));
    }

  // Ranges: the tip moves by as much as the draw curve tells; strains are those of the tables, away from ends and so not larger.
  const auto &description = bow_case.bow.upper;
  CHECK(range(*limb[0].grid, "displacement [m]")[1] == Approx(0.).margin(1e-9));
  CHECK(range(drawn, "displacement [m]")[1] > 0.2);
  CHECK(range(drawn, "displacement [m]")[1] < 0.6);
  CHECK(range(drawn, "station along back [in]")[0] == Approx(description.root_station / inch));
  CHECK(range(drawn, "station along back [in]")[1] == Approx(description.tip_station / inch));
  double pressed = 0., stretched = 0.;
  for (const auto &face : results.snapshots.back().limbs.front().faces)
    if (!face.near_end)
    {
      pressed = std::min(pressed, face.strain_along);
      stretched = std::max(stretched, face.strain_along);
    }
  CHECK(range(drawn, "strain along grain [1]")[0] <= pressed + 1e-9);
  CHECK(range(drawn, "strain along grain [1]")[1] >= stretched - 1e-9);
  CHECK(range(drawn, "strain along grain [1]")[0] > -0.03);  // not in per cent
  CHECK(range(drawn, "stress along grain [Pa]")[1] > 100e6); // and not in MPa
  CHECK(range(drawn, "layer from belly")[1] == static_cast<double>(description.laminations.size() - 1));
  CHECK(range(drawn, "plastic shortening along grain [1]")[0] >= 0.);
  for (const char *name : {"index tension along grain [1]", "index shear [1]", "index Tsai-Wu [1]"})
    CHECK(range(drawn, name)[0] >= 0.);
  CHECK(range(drawn_glue, "shear [Pa]")[1] > 1e6);
  CHECK(range(drawn_glue, "shear [Pa]")[1] < 100e6);
  CHECK(range(drawn_glue, "share of fracture energy spent [1]")[1] == 0.); // the glue holds
}
