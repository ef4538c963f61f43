#include "solver/fields/field_change.h"

#include "solver/fields/shared_vtu.h"

#include <vtkDataArray.h>
#include <vtkNew.h>
#include <vtkPointData.h>
#include <vtkUnstructuredGrid.h>
#include <vtkXMLUnstructuredGridReader.h>

#include <algorithm>
#include <optional>

namespace limbwright
{
namespace
{
struct FieldFile
{
  FieldMesh mesh;
  std::vector<FieldArray> on_points;
};

// Names are written "name [unit]".
std::pair<std::string, std::string> name_and_unit(const std::string &labelled)
{
  const auto bracket = labelled.rfind(" [");
  if (bracket == std::string::npos)
    return {labelled, ""};
  return {labelled.substr(0, bracket), labelled.substr(bracket + 2, labelled.size() - bracket - 3)};
}

std::optional<FieldFile> read_field_file(const std::filesystem::path &file)
{
  if (!std::filesystem::exists(file))
    return std::nullopt;
  vtkNew<vtkXMLUnstructuredGridReader> reader;
  reader->SetFileName(file.c_str());
  reader->Update();
  vtkUnstructuredGrid &grid = *reader->GetOutput();
  if (grid.GetNumberOfCells() == 0)
    return std::nullopt;
  FieldFile read;
  for (const auto kind : {FieldMesh::Cell::quad9, FieldMesh::Cell::hex27})
    if (grid.GetCell(0)->GetNumberOfPoints() == nodes_per_cell(kind))
      read.mesh.cell = kind;
  for (vtkIdType i = 0; i < grid.GetNumberOfPoints(); ++i)
  {
    std::array<double, 3> point{};
    grid.GetPoint(i, point.data());
    read.mesh.points.push_back(point);
  }
  for (vtkIdType c = 0; c < grid.GetNumberOfCells(); ++c)
  {
    vtkIdType n = 0;
    const vtkIdType *nodes = nullptr;
    grid.GetCellPoints(c, n, nodes);
    read.mesh.cells.emplace_back(nodes, nodes + n);
  }
  vtkPointData &data = *grid.GetPointData();
  for (int i = 0; i < data.GetNumberOfArrays(); ++i)
  {
    vtkDataArray &values = *data.GetArray(i);
    FieldArray array;
    std::tie(array.name, array.unit) = name_and_unit(values.GetName());
    array.components = values.GetNumberOfComponents();
    for (vtkIdType p = 0; p < values.GetNumberOfTuples(); ++p)
      for (int k = 0; k < array.components; ++k)
        array.values.push_back(values.GetComponent(p, k));
    read.on_points.push_back(std::move(array));
  }
  return read;
}

bool begins_with(const std::string &text, const char *beginning)
{
  return text.rfind(beginning, 0) == 0;
}

// In grain axes; those in the bow's axes end in "xx" and so on.
bool compared(const std::string &name)
{
  if (name == "displacement" || begins_with(name, "index ") || begins_with(name, "plastic shortening"))
    return true;
  for (const char *kind : {"strain ", "stress ", "shear strain ", "shear stress "})
    if (begins_with(name, kind) && name.size() - name.rfind(' ') > 3)
      return true;
  return false;
}
} // namespace

bool write_field_change(const Communicator &ranks, const std::filesystem::path &with, const std::filesystem::path &without,
                        const std::filesystem::path &target)
{
  const auto own = [&](const std::filesystem::path &stem)
  { return stem.parent_path() / own_vtu(ranks, stem.filename().string()); };
  const auto here = read_field_file(own(with)), other = read_field_file(own(without));
  if (!here || !other || here->mesh.cells != other->mesh.cells)
    return false;
  std::vector<FieldArray> arrays;
  for (const FieldArray &array : here->on_points)
  {
    const auto same = std::find_if(other->on_points.begin(), other->on_points.end(),
                                   [&](const FieldArray &candidate) { return candidate.name == array.name; });
    if (array.name == "displacement")
      arrays.push_back(array);
    if (!compared(array.name) || same == other->on_points.end() || same->values.size() != array.values.size())
      continue;
    FieldArray change = array;
    change.name = "change of " + array.name;
    std::transform(array.values.begin(), array.values.end(), same->values.begin(), change.values.begin(), std::minus<>());
    arrays.push_back(std::move(change));
  }
  write_shared(ranks, target.parent_path(), target.filename().string(), here->mesh, arrays);
  return true;
}
} // namespace limbwright
