#include "cases/app/picture_data.h"

#include <cmath>
#include <nlohmann/json.hpp>

#include <vtkDataArray.h>
#include <vtkNew.h>
#include <vtkPointData.h>
#include <vtkSmartPointer.h>
#include <vtkUnstructuredGrid.h>
#include <vtkXMLDataElement.h>
#include <vtkXMLUnstructuredGridReader.h>
#include <vtkXMLUtilities.h>

#include <algorithm>
#include <fstream>
#include <sstream>
#include <stdexcept>

namespace limbwright::picture
{
namespace
{
constexpr double inch = 0.0254;                     // [m]
constexpr double pound_force = 4.4482216152605;     // [N]
constexpr double psi = pound_force / (inch * inch); // [Pa]

vtkDataArray &array(vtkUnstructuredGrid &grid, const std::filesystem::path &file, const char *name)
{
  vtkDataArray *found = grid.GetPointData()->GetArray(name);
  if (found == nullptr)
    throw std::runtime_error(file.string() + " has no field '" + name + "'");
  return *found;
}

LimbFields read_fields(const std::filesystem::path &file)
{
  vtkNew<vtkXMLUnstructuredGridReader> reader;
  if (reader->CanReadFile(file.c_str()) == 0)
    throw std::runtime_error(file.string() + " cannot be read as a field file");
  reader->SetFileName(file.c_str());
  reader->Update();
  vtkUnstructuredGrid &grid = *reader->GetOutput();
  vtkDataArray &displacement = array(grid, file, "displacement [m]"),
               &strain = array(grid, file, "strain along grain, as judged [1]"),
               &station = array(grid, file, "station along back [in]");
  // Not the elastic index of compression: it would condemn every good wooden belly.
  std::vector<vtkDataArray *> indices;
  for (const char *name :
       {"index tension along grain, as judged [1]", "index tension across grain, as judged [1]", "index shear, as judged [1]",
        "index crushing (belly strain over bending strength strain), as judged [1]"})
    indices.push_back(&array(grid, file, name));
  LimbFields fields;
  for (vtkIdType i = 0; i < grid.GetNumberOfPoints(); ++i)
  {
    const double *place = grid.GetPoint(i);
    fields.places.push_back(
        {(place[0] + displacement.GetComponent(i, 0)) / inch, (place[1] + displacement.GetComponent(i, 1)) / inch});
    fields.strain.push_back(100. * strain.GetComponent(i, 0));
    double index = 0.;
    for (vtkDataArray *mode : indices)
      index = std::max(index, mode->GetComponent(i, 0));
    fields.index.push_back(index);
    fields.station.push_back(station.GetComponent(i, 0));
  }
  for (vtkIdType c = 0; c < grid.GetNumberOfCells(); ++c)
  {
    vtkIdType n = 0;
    const vtkIdType *nodes = nullptr;
    grid.GetCellPoints(c, n, nodes);
    if (n != 9)
      throw std::runtime_error(file.string() + " has cells that are not nine-node quadrilaterals");
    std::array<long long, 9> cell{};
    std::copy(nodes, nodes + n, cell.begin());
    fields.cells.push_back(cell);
  }
  return fields;
}

// Field files of the collection in its order, those of the upper limb, each with its draw from the pivot [in]; the way down
// counts on.
std::vector<std::pair<double, std::filesystem::path>> field_files(const std::filesystem::path &collection)
{
  const auto root = vtkSmartPointer<vtkXMLDataElement>::Take(vtkXMLUtilities::ReadElementFromFile(collection.c_str()));
  vtkXMLDataElement *list = root ? root->FindNestedElementWithName("Collection") : nullptr;
  if (list == nullptr)
    throw std::runtime_error(collection.string() + " is not a collection of field files");
  std::vector<std::pair<double, std::filesystem::path>> files;
  for (int i = 0; i < list->GetNumberOfNestedElements(); ++i)
  {
    const char *file = list->GetNestedElement(i)->GetAttribute("file"), *part = list->GetNestedElement(i)->GetAttribute("part");
    double draw = 0.;
    list->GetNestedElement(i)->GetScalarAttribute("timestep", draw);
    if (file != nullptr && (part == nullptr || std::string(part) == "0"))
      files.emplace_back(draw, collection.parent_path() / file);
  }
  return files;
}

// One line of a sheet; cells in quotes may hold commas.
std::vector<std::string> split(const std::string &line)
{
  std::vector<std::string> cells(1);
  bool quoted = false;
  for (const char c : line)
    if (c == '"')
      quoted = !quoted;
    else if (c == ',' && !quoted)
      cells.emplace_back();
    else if (c != '\r')
      cells.back() += c;
  return cells;
}

// Rows of a sheet by the heads of its columns.
std::vector<std::map<std::string, std::string>> read_sheet(const std::filesystem::path &file)
{
  std::ifstream stream(file);
  std::string line;
  if (!std::getline(stream, line))
    throw std::runtime_error(file.string() + " cannot be read");
  const auto heads = split(line);
  std::vector<std::map<std::string, std::string>> rows;
  while (std::getline(stream, line))
  {
    const auto cells = split(line);
    auto &row = rows.emplace_back();
    for (std::size_t i = 0; i < heads.size() && i < cells.size(); ++i)
      row[heads[i]] = cells[i];
  }
  return rows;
}

double number(const std::map<std::string, std::string> &row, const std::string &head)
{
  const auto found = row.find(head);
  if (found == row.end() || found->second.empty())
    throw std::runtime_error("a sheet has no number under '" + head + "'");
  return std::stod(found->second);
}

StringPlace string_place(const std::map<std::string, std::string> &row)
{
  return {number(row, "pivot_to_nocking_point_in"), number(row, "tip_x_mm") / 25.4, number(row, "tip_y_mm") / 25.4};
}
} // namespace

ResultsData read_results(const std::filesystem::path &folder)
{
  ResultsData data;
  std::ifstream stream(folder / "summary.json");
  if (!stream)
    throw std::runtime_error(folder.string() + " is not a results folder: it has no summary.json");
  const auto summary = nlohmann::json::parse(stream);
  data.title = summary.at("title").get<std::string>();
  data.draw_weight = summary.at("draw_weight_N").get<double>() / pound_force;
  data.draw_told = summary.at("draw_length_told_m").get<double>() / inch;
  data.brace_height = summary.at("brace_height_m").get<double>() / inch;

  const auto files = field_files(folder / "fields" / "limb.pvd");
  if (files.size() < 3)
    throw std::runtime_error(folder.string() + " has no fields of a drawn bow");
  data.unstrung = read_fields(files[0].second);
  data.braced = read_fields(files[1].second);
  // After full draw come the states of the way down.
  const double full_draw = summary.at("draw_length_m").get<double>() / inch;
  const auto drawn = std::min_element(files.begin(), files.end(),
                                      [&](const auto &a, const auto &b)
                                      { return std::abs(a.first - full_draw) < std::abs(b.first - full_draw); });
  data.drawn = read_fields(drawn->second);

  const auto curve = read_sheet(folder / "draw_curve.csv");
  if (curve.empty())
    throw std::runtime_error((folder / "draw_curve.csv").string() + " is empty");
  data.string_braced = string_place(curve.front());
  data.string_drawn = string_place(curve.back());

  for (const auto &row : read_sheet(folder / "along_limb.csv"))
  {
    if (row.at("face") != "glue line" || row.at("limb") == "lower")
      continue;
    const std::string &name = row.at("layer");
    auto line = std::find_if(data.glue.begin(), data.glue.end(), [&](const GlueCurve &glue) { return glue.name == name; });
    if (line == data.glue.end())
      line = data.glue.insert(data.glue.end(), {name, {}, {}});
    line->station.push_back(number(row, "station_in"));
    line->shear.push_back(number(row, "glue_mean_shear_MPa") * 1e6 / psi);
  }
  return data;
}
} // namespace limbwright::picture
