#pragma once

#include "cases/report/table.h"

#include <cstdint>
#include <filesystem>
#include <string>
#include <vector>

namespace limbwright
{
/// Adds the checksum of all that an HDF5 file holds at its end. Throws CannotWrite.
void seal(const std::filesystem::path &file);

/// An HDF5 file being made, which comes to the disk when it is closed. Paths inside run from the root, "/steps/003"; groups on
/// the way are made when missing. It is then sealed: a line after HDF5's own bytes, which HDF5 leaves alone, has the checksum of
/// all before it. Everything throws CannotWrite with the file's name and HDF5's own reason.
class Hdf5File
{
public:
  explicit Hdf5File(std::filesystem::path path);
  ~Hdf5File();
  Hdf5File(const Hdf5File &) = delete;
  Hdf5File &operator=(const Hdf5File &) = delete;

  void group(const std::string &place);
  /// value: up to 60 kB.
  void attribute(const std::string &place, const std::string &name, const std::string &value);
  void attribute(const std::string &place, const std::string &name, double value);
  void numbers(const std::string &place, const std::vector<double> &values, const std::string &unit);
  void words(const std::string &place, const std::vector<std::string> &values);
  /// A group with one data set for each column.
  void table(const std::string &place, const Table &table);
  /// Writes what has been kept in memory until now, and seals it.
  void close();

private:
  std::filesystem::path path;
  std::int64_t file;

  template <class Write>
  void attribute_of(const std::string &place, const std::string &name, std::int64_t type, Write write);
};

/// An HDF5 file being read. One without a seal, or whose seal does not fit, is refused before HDF5 sees it: the library does not
/// survive every damaged file. Everything but has() throws std::runtime_error with the file, the place and HDF5's own reason.
class Hdf5Source
{
public:
  explicit Hdf5Source(std::filesystem::path path);
  ~Hdf5Source();
  Hdf5Source(const Hdf5Source &) = delete;
  Hdf5Source &operator=(const Hdf5Source &) = delete;

  bool has(const std::string &place) const; //!< a group or a data set
  std::vector<double> numbers(const std::string &place) const;
  std::vector<std::string> words(const std::string &place) const;
  std::string attribute(const std::string &place, const std::string &name) const;
  /// Finite.
  double number_attribute(const std::string &place, const std::string &name) const;

private:
  std::filesystem::path path;
  std::int64_t file;

  [[noreturn]] void cannot_read(const std::string &place) const;
  template <class Use>
  void with_data_set(const std::string &place, Use use) const;
};
} // namespace limbwright
