#pragma once

#include <array>
#include <filesystem>
#include <stdexcept>
#include <string>
#include <vector>

namespace limbwright
{
/// A field file that cannot be written; the message names it and the reason.
class CannotWriteFields : public std::runtime_error
{
public:
  using std::runtime_error::runtime_error;
};

/// Cells of one kind in VTK's node order, as a picture program reads them.
struct FieldMesh
{
  enum class Cell
  {
    line3, //!< VTK_QUADRATIC_EDGE: both ends, middle
    quad9, //!< VTK_BIQUADRATIC_QUAD: corners around, edge middles around, centre
    hex27  //!< VTK_TRIQUADRATIC_HEXAHEDRON
  };

  Cell cell = Cell::quad9;
  std::vector<std::array<double, 3>> points; //!< [m]
  std::vector<std::vector<int>> cells;       //!< point numbers, nodes_per_cell(cell) each
};

int nodes_per_cell(FieldMesh::Cell);

/// One field on the points or the cells. The name is written with the unit in brackets: "stress along grain [Pa]".
struct FieldArray
{
  std::string name;
  std::string unit; //!< "Pa", "m", "1"; empty: none is written
  int components = 1;
  std::vector<double> values; //!< components of the first point, then of the second, ...
  bool on_cells = false;
  bool integer = false; //!< values are whole numbers (layer, material, mark) and are written as such
};

/// Writes one .vtu file: compressed, under a temporary name first, so that a file of this name is always whole.
/// Throws std::invalid_argument when sizes do not fit together, CannotWriteFields when it cannot be written.
void write_vtu(const std::filesystem::path &file, const FieldMesh &mesh, const std::vector<FieldArray> &arrays);

/// Writes one .pvtu file, which joins pieces of one kind (file names relative to it) whose fields are those of `arrays`; their
/// values are not looked at. Errors as write_vtu().
void write_pvtu(const std::filesystem::path &file, const std::vector<std::string> &pieces, const std::vector<FieldArray> &arrays);

/// One file of a collection.
struct FieldStep
{
  double time = 0.; //!< draw length [in] from the pivot to the nocking point; zero for the unstrung bow
  std::string file; //!< relative to the collection
  int part = 0;
};

/// Writes the .pvd collection that plays the steps in order. Errors as write_vtu().
void write_pvd(const std::filesystem::path &file, const std::vector<FieldStep> &steps);
} // namespace limbwright
