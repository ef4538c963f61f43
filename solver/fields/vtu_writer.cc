#include "solver/fields/vtu_writer.h"

#include <vtkCellArray.h>
#include <vtkCellData.h>
#include <vtkCellType.h>
#include <vtkDoubleArray.h>
#include <vtkErrorCode.h>
#include <vtkIntArray.h>
#include <vtkNew.h>
#include <vtkObject.h>
#include <vtkPointData.h>
#include <vtkPoints.h>
#include <vtkUnstructuredGrid.h>
#include <vtkXMLUnstructuredGridWriter.h>

#include <cerrno>
#include <cmath>
#include <cstring>
#include <fstream>
#include <limits>
#include <stdexcept>

namespace limbwright
{
namespace
{
int vtk_cell_type(FieldMesh::Cell cell)
{
  switch (cell)
  {
  case FieldMesh::Cell::line3:
    return VTK_QUADRATIC_EDGE;
  case FieldMesh::Cell::quad9:
    return VTK_BIQUADRATIC_QUAD;
  case FieldMesh::Cell::hex27:
    return VTK_TRIQUADRATIC_HEXAHEDRON;
  }
  return VTK_EMPTY_CELL;
}

[[noreturn]] void cannot_write(const std::filesystem::path &file, const std::string &reason)
{
  throw CannotWriteFields("cannot write " + file.string() + ": " + reason);
}

/// VTK counts the system's error numbers first, then its own.
std::string reason(unsigned long code)
{
  if (code == vtkErrorCode::OutOfDiskSpaceError)
    return "the disk is full";
  if (code != vtkErrorCode::NoError && code < vtkErrorCode::FirstVTKErrorCode)
    return std::strerror(static_cast<int>(code));
  return "the writer failed (VTK error " + std::to_string(code) + ")";
}

/// Gives the finished file its name; a failed one is taken away again.
void finish(const std::filesystem::path &temporary, const std::filesystem::path &file)
{
  std::error_code error;
  std::filesystem::rename(temporary, file, error);
  if (error)
  {
    std::error_code ignored;
    std::filesystem::remove(temporary, ignored);
    cannot_write(file, error.message());
  }
}

std::filesystem::path temporary_name(const std::filesystem::path &file)
{
  auto temporary = file;
  temporary += ".part";
  return temporary;
}

std::string labelled(const FieldArray &array)
{
  return array.unit.empty() ? array.name : array.name + " [" + array.unit + "]";
}

template <class VtkArray, class Number>
void add_array(vtkUnstructuredGrid &grid, const FieldArray &array)
{
  vtkNew<VtkArray> values;
  values->SetName(labelled(array).c_str());
  values->SetNumberOfComponents(array.components);
  values->SetNumberOfTuples(static_cast<vtkIdType>(array.values.size()) / array.components);
  for (std::size_t i = 0; i < array.values.size(); ++i)
    values->SetValue(static_cast<vtkIdType>(i), static_cast<Number>(array.values[i]));
  if (array.on_cells)
    grid.GetCellData()->AddArray(values);
  else
    grid.GetPointData()->AddArray(values);
}

void check(const FieldMesh &mesh, const std::vector<FieldArray> &arrays)
{
  const auto n_nodes = static_cast<std::size_t>(nodes_per_cell(mesh.cell));
  const int n_points = static_cast<int>(mesh.points.size());
  for (const auto &cell : mesh.cells)
  {
    if (cell.size() != n_nodes)
      throw std::invalid_argument("a cell of " + std::to_string(cell.size()) + " nodes where " + std::to_string(n_nodes) +
                                  " are due");
    for (const int point : cell)
      if (point < 0 || point >= n_points)
        throw std::invalid_argument("a cell names point " + std::to_string(point) + " of " + std::to_string(n_points));
  }
  for (const auto &array : arrays)
  {
    const std::size_t n_places = array.on_cells ? mesh.cells.size() : mesh.points.size();
    if (array.components < 1 || array.values.size() != n_places * static_cast<std::size_t>(array.components))
      throw std::invalid_argument("field '" + array.name + "' has " + std::to_string(array.values.size()) + " values for " +
                                  std::to_string(n_places) + " places of " + std::to_string(array.components) + " components");
    if (array.integer)
      for (const double value : array.values)
        if (!(std::abs(value) <= std::numeric_limits<int>::max()) || value != std::nearbyint(value))
          throw std::invalid_argument("field '" + array.name + "' is of whole numbers, but holds " + std::to_string(value));
  }
}
} // namespace

int nodes_per_cell(FieldMesh::Cell cell)
{
  switch (cell)
  {
  case FieldMesh::Cell::line3:
    return 3;
  case FieldMesh::Cell::quad9:
    return 9;
  case FieldMesh::Cell::hex27:
    return 27;
  }
  return 0;
}

void write_vtu(const std::filesystem::path &file, const FieldMesh &mesh, const std::vector<FieldArray> &arrays)
{
  check(mesh, arrays);

  vtkNew<vtkPoints> points;
  points->SetDataTypeToDouble();
  points->SetNumberOfPoints(static_cast<vtkIdType>(mesh.points.size()));
  for (std::size_t i = 0; i < mesh.points.size(); ++i)
    points->SetPoint(static_cast<vtkIdType>(i), mesh.points[i].data());

  vtkNew<vtkUnstructuredGrid> grid;
  grid->SetPoints(points);
  grid->AllocateEstimate(static_cast<vtkIdType>(mesh.cells.size()), nodes_per_cell(mesh.cell));
  std::vector<vtkIdType> nodes;
  for (const auto &cell : mesh.cells)
  {
    nodes.assign(cell.begin(), cell.end());
    grid->InsertNextCell(vtk_cell_type(mesh.cell), static_cast<vtkIdType>(nodes.size()), nodes.data());
  }
  for (const auto &array : arrays)
  {
    if (array.integer)
      add_array<vtkIntArray, int>(*grid, array);
    else
      add_array<vtkDoubleArray, double>(*grid, array);
  }

  // VTK tells of a file it cannot open only on its own console; so it is opened here first, and the reason kept.
  const auto temporary = temporary_name(file);
  {
    std::ofstream probe(temporary, std::ios::binary);
    if (!probe)
      cannot_write(file, std::strerror(errno));
  }
  vtkNew<vtkXMLUnstructuredGridWriter> writer;
  writer->SetFileName(temporary.c_str());
  writer->SetInputData(grid);
  writer->SetDataModeToAppended();
  writer->EncodeAppendedDataOff();
  writer->SetCompressorTypeToZLib();
  writer->SetCompressionLevel(1); // half the time of the usual level, a tenth more bytes
  const int console = vtkObject::GetGlobalWarningDisplay();
  vtkObject::GlobalWarningDisplayOff(); // a failure is thrown below, not printed
  const bool written = writer->Write() != 0;
  vtkObject::SetGlobalWarningDisplay(console);
  if (!written || writer->GetErrorCode() != vtkErrorCode::NoError)
  {
    std::error_code ignored;
    std::filesystem::remove(temporary, ignored);
    cannot_write(file, reason(writer->GetErrorCode()));
  }
  finish(temporary, file);
}

namespace
{
// A small text file that names others.
template <class Write>
void write_index(const std::filesystem::path &file, const std::vector<std::string> &names, const Write &write)
{
  for (const std::string &name : names)
    if (name.find_first_of("\"<>&") != std::string::npos)
      throw std::invalid_argument("field file name '" + name + "' holds a character of the file format");
  const auto temporary = temporary_name(file);
  std::ofstream out(temporary);
  if (!out)
    cannot_write(file, std::strerror(errno));
  out.precision(10);
  out << "<?xml version=\"1.0\"?>\n";
  write(out);
  out.close();
  if (!out)
  {
    std::error_code ignored;
    std::filesystem::remove(temporary, ignored);
    cannot_write(file, std::strerror(errno));
  }
  finish(temporary, file);
}
} // namespace

void write_pvtu(const std::filesystem::path &file, const std::vector<std::string> &pieces, const std::vector<FieldArray> &arrays)
{
  write_index(file, pieces,
              [&](std::ostream &out)
              {
                out << "<VTKFile type=\"PUnstructuredGrid\" version=\"0.1\" byte_order=\"LittleEndian\">\n"
                    << "  <PUnstructuredGrid GhostLevel=\"0\">\n";
                for (const bool on_cells : {false, true})
                {
                  const char *where = on_cells ? "PCellData" : "PPointData";
                  out << "    <" << where << ">\n";
                  for (const FieldArray &array : arrays)
                    if (array.on_cells == on_cells)
                      out << "      <PDataArray type=\"" << (array.integer ? "Int32" : "Float64") << "\" Name=\""
                          << labelled(array) << "\" NumberOfComponents=\"" << array.components << "\"/>\n";
                  out << "    </" << where << ">\n";
                }
                out << "    <PPoints>\n      <PDataArray type=\"Float64\" NumberOfComponents=\"3\"/>\n    </PPoints>\n";
                for (const std::string &piece : pieces)
                  out << "    <Piece Source=\"" << piece << "\"/>\n";
                out << "  </PUnstructuredGrid>\n</VTKFile>\n";
              });
}

void write_pvd(const std::filesystem::path &file, const std::vector<FieldStep> &steps)
{
  std::vector<std::string> names;
  for (const auto &step : steps)
    names.push_back(step.file);
  write_index(file, names,
              [&](std::ostream &out)
              {
                out << "<VTKFile type=\"Collection\" version=\"0.1\" byte_order=\"LittleEndian\">\n"
                    << "  <!-- timestep: draw length in inches from the pivot to the nocking point -->\n  <Collection>\n";
                for (const auto &step : steps)
                  out << "    <DataSet timestep=\"" << step.time << "\" group=\"\" part=\"" << step.part << "\" file=\""
                      << step.file << "\"/>\n";
                out << "  </Collection>\n</VTKFile>\n";
              });
}
} // namespace limbwright
