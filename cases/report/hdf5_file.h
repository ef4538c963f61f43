#pragma once

#include "cases/report/table.h"

#include <cstdint>
#include <filesystem>
#include <string>
#include <vector>

namespace limbwright
{
/// An HDF5 file being written. Paths inside run from the root, "/steps/003"; groups on the way are made when missing.
/// Everything throws CannotWrite with the file's name and HDF5's own reason.
class Hdf5File
{
public:
  explicit Hdf5File(std::filesystem::path path);
  ~Hdf5File();
  Hdf5File(const Hdf5File &) = delete;
  Hdf5File &operator=(const Hdf5File &) = delete;

  void group(const std::string &place);
  void attribute(const std::string &place, const std::string &name, const std::string &value);
  void attribute(const std::string &place, const std::string &name, double value);
  void numbers(const std::string &place, const std::vector<double> &values, const std::string &unit);
  void words(const std::string &place, const std::vector<std::string> &values);
  /// A group with one data set for each column.
  void table(const std::string &place, const Table &table);
  /// Closes the file; a full disk may show only here.
  void close();

private:
  std::filesystem::path path;
  std::int64_t file;

  template <class Write>
  void attribute_of(const std::string &place, const std::string &name, std::int64_t type, Write write);
};

/// What a results file holds, read back; for tests and for making a report anew. Throws std::runtime_error with file and place.
std::vector<double> read_hdf5_numbers(const std::filesystem::path &path, const std::string &place);
std::vector<std::string> read_hdf5_words(const std::filesystem::path &path, const std::string &place);
std::string read_hdf5_attribute(const std::filesystem::path &path, const std::string &place, const std::string &name);
} // namespace limbwright
