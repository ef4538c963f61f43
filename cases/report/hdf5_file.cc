#include "cases/report/hdf5_file.h"

#include "cases/report/checksum.h"
#include "cases/report/text_file.h"

#include <fmt/format.h>
#include <hdf5.h>

#include <algorithm>
#include <cerrno>
#include <cmath>
#include <cstring>
#include <fstream>
#include <stdexcept>
#include <utility>

namespace limbwright
{
namespace
{
/// Closes what HDF5 has opened when it goes out of scope.
class Handle
{
public:
  using Close = herr_t (*)(hid_t);
  Handle(hid_t id, Close close_function) : number(id), close(close_function) {}
  Handle(Handle &&other) noexcept : number(std::exchange(other.number, -1)), close(other.close) {}
  Handle &operator=(Handle &&) = delete;
  ~Handle()
  {
    if (number >= 0)
      close(number);
  }
  hid_t get() const { return number; }
  bool valid() const { return number >= 0; }

private:
  hid_t number;
  Close close;
};

herr_t note_reason(unsigned int depth, const H5E_error2_t *error, void *text)
{
  if (depth == 0 && error->desc != nullptr)
    *static_cast<std::string *>(text) = error->desc;
  return 0;
}

/// The innermost message on HDF5's stack of errors, which is emptied.
std::string reason()
{
  std::string text;
  H5Ewalk2(H5E_DEFAULT, H5E_WALK_UPWARD, note_reason, &text);
  H5Eclear2(H5E_DEFAULT);
  return text.empty() ? "HDF5 failed" : text;
}

void keep_quiet()
{
  H5Eset_auto2(H5E_DEFAULT, nullptr, nullptr);
}

// Texts of one length, filled up with zeros: a damaged reference to a text of any length is what HDF5 survives least.
hid_t text_type(std::size_t length)
{
  const hid_t type = H5Tcopy(H5T_C_S1);
  H5Tset_size(type, std::max<std::size_t>(length, 1));
  H5Tset_strpad(type, H5T_STR_NULLPAD);
  H5Tset_cset(type, H5T_CSET_UTF8);
  return type;
}

// The type of stored texts; not valid where they are none of ours.
Handle stored_text_type(hid_t type)
{
  Handle stored(type, H5Tclose);
  if (!stored.valid() || H5Tget_class(type) != H5T_STRING || H5Tis_variable_str(type) != 0)
    return {-1, H5Tclose};
  return stored;
}

std::string text_of(const std::string &padded, std::size_t from, std::size_t length)
{
  return padded.substr(from, std::min(length, padded.find('\0', from) - from));
}

// The line after HDF5's own bytes, filled up with blanks; HDF5 leaves what lies there alone.
constexpr std::uintmax_t seal_length = 80;

/// Of a file's first n_bytes.
std::string seal_of(const std::filesystem::path &path, std::uintmax_t n_bytes)
{
  return fmt::format("{:<{}}\n", fmt::format("limbwright: CRC-32 of the {} bytes before: {}", n_bytes, checksum(path, n_bytes)),
                     seal_length - 1);
}

void check_seal(const std::filesystem::path &path)
{
  std::string end(seal_length, '\0');
  std::ifstream file(path, std::ios::binary);
  if (!file.seekg(-static_cast<std::streamoff>(seal_length), std::ios::end) || !file.read(end.data(), seal_length) ||
      end.rfind("limbwright: ", 0) != 0)
    throw std::runtime_error(
        "cannot read " + path.string() +
        ": it is damaged at its end, or has no checksum because an earlier version of this program wrote it");
  if (end != seal_of(path, std::filesystem::file_size(path) - seal_length))
    throw std::runtime_error("cannot read " + path.string() + ": it is damaged: its checksum does not match");
}

hid_t groups_on_the_way()
{
  const hid_t property = H5Pcreate(H5P_LINK_CREATE);
  H5Pset_create_intermediate_group(property, 1);
  return property;
}
} // namespace

void seal(const std::filesystem::path &path)
{
  std::ofstream file(path, std::ios::binary | std::ios::app);
  file << seal_of(path, std::filesystem::file_size(path)) << std::flush;
  if (!file)
    throw CannotWrite(path, "its checksum could not be added");
}

Hdf5File::Hdf5File(std::filesystem::path place) : path(std::move(place))
{
  keep_quiet();
  const Handle access(H5Pcreate(H5P_FILE_ACCESS), H5Pclose);
  // In memory until it is closed: HDF5 does not survive a disk that is full.
  constexpr std::size_t growth = 1U << 20U; // [bytes]
  H5Pset_fapl_core(access.get(), growth, 0);
  file = H5Fcreate(path.c_str(), H5F_ACC_TRUNC, H5P_DEFAULT, access.get());
  if (file < 0)
    throw CannotWrite(path, reason());
}

Hdf5File::~Hdf5File()
{
  if (file >= 0)
    H5Fclose(file);
}

void Hdf5File::close()
{
  const ssize_t size = H5Fflush(file, H5F_SCOPE_GLOBAL) < 0 ? -1 : H5Fget_file_image(file, nullptr, 0);
  std::vector<char> image(static_cast<std::size_t>(std::max<ssize_t>(size, 0)));
  const bool whole = size > 0 && H5Fget_file_image(file, image.data(), image.size()) == size;
  const bool closed = H5Fclose(file) >= 0;
  file = -1;
  if (!whole || !closed)
    throw CannotWrite(path, reason());
  std::ofstream out(path, std::ios::binary);
  errno = 0;
  out.write(image.data(), size).flush();
  if (!out)
    throw CannotWrite(path, errno != 0 ? std::strerror(errno) : "the disk may be full");
  out.close();
  seal(path);
}

void Hdf5File::group(const std::string &place)
{
  const Handle property(groups_on_the_way(), H5Pclose);
  const Handle made(H5Gcreate2(file, place.c_str(), property.get(), H5P_DEFAULT, H5P_DEFAULT), H5Gclose);
  if (!made.valid())
    throw CannotWrite(path, reason());
}

template <class Write>
void Hdf5File::attribute_of(const std::string &place, const std::string &name, std::int64_t type, Write write)
{
  const Handle space(H5Screate(H5S_SCALAR), H5Sclose);
  const Handle made(
      H5Acreate_by_name(file, place.c_str(), name.c_str(), type, space.get(), H5P_DEFAULT, H5P_DEFAULT, H5P_DEFAULT), H5Aclose);
  if (!made.valid() || write(made.get()) < 0)
    throw CannotWrite(path, reason());
}

void Hdf5File::attribute(const std::string &place, const std::string &name, const std::string &value)
{
  const Handle type(text_type(value.size()), H5Tclose);
  attribute_of(place, name, type.get(), [&](hid_t made) { return H5Awrite(made, type.get(), value.c_str()); });
}

void Hdf5File::attribute(const std::string &place, const std::string &name, double value)
{
  attribute_of(place, name, H5T_NATIVE_DOUBLE, [&](hid_t made) { return H5Awrite(made, H5T_NATIVE_DOUBLE, &value); });
}

void Hdf5File::numbers(const std::string &place, const std::vector<double> &values, const std::string &unit)
{
  {
    const hsize_t size = values.size();
    const Handle space(H5Screate_simple(1, &size, nullptr), H5Sclose);
    const Handle property(groups_on_the_way(), H5Pclose);
    const Handle made(H5Dcreate2(file, place.c_str(), H5T_IEEE_F64LE, space.get(), property.get(), H5P_DEFAULT, H5P_DEFAULT),
                      H5Dclose);
    if (!made.valid() ||
        (!values.empty() && H5Dwrite(made.get(), H5T_NATIVE_DOUBLE, H5S_ALL, H5S_ALL, H5P_DEFAULT, values.data()) < 0))
      throw CannotWrite(path, reason());
  }
  if (!unit.empty())
    attribute(place, "unit", unit);
}

void Hdf5File::words(const std::string &place, const std::vector<std::string> &values)
{
  const hsize_t size = values.size();
  std::size_t length = 1;
  for (const auto &value : values)
    length = std::max(length, value.size());
  std::string texts;
  for (const auto &value : values)
    texts += value + std::string(length - value.size(), '\0');
  const Handle space(H5Screate_simple(1, &size, nullptr), H5Sclose);
  const Handle property(groups_on_the_way(), H5Pclose);
  const Handle type(text_type(length), H5Tclose);
  const Handle made(H5Dcreate2(file, place.c_str(), type.get(), space.get(), property.get(), H5P_DEFAULT, H5P_DEFAULT), H5Dclose);
  if (!made.valid() || (!texts.empty() && H5Dwrite(made.get(), type.get(), H5S_ALL, H5S_ALL, H5P_DEFAULT, texts.data()) < 0))
    throw CannotWrite(path, reason());
}

void Hdf5File::table(const std::string &place, const Table &table)
{
  group(place);
  for (const auto &column : table.columns)
  {
    if (const auto *texts = std::get_if<std::vector<std::string>>(&column.values))
      words(place + "/" + column.name, *texts);
    else
      numbers(place + "/" + column.name, std::get<std::vector<double>>(column.values), column.unit);
  }
}

Hdf5Source::Hdf5Source(std::filesystem::path place) : path(std::move(place))
{
  keep_quiet();
  check_seal(path);
  file = H5Fopen(path.c_str(), H5F_ACC_RDONLY, H5P_DEFAULT);
  if (file < 0)
    throw std::runtime_error("cannot read " + path.string() + ": " + reason());
}

Hdf5Source::~Hdf5Source()
{
  H5Fclose(file);
}

void Hdf5Source::cannot_read(const std::string &place) const
{
  throw std::runtime_error("cannot read " + place + " in " + path.string() + ": " + reason());
}

/// Calls use(data set, number of values).
template <class Use>
void Hdf5Source::with_data_set(const std::string &place, Use use) const
{
  const Handle data(H5Dopen2(file, place.c_str(), H5P_DEFAULT), H5Dclose);
  if (!data.valid())
    cannot_read(place);
  const Handle space(H5Dget_space(data.get()), H5Sclose);
  const hssize_t size = H5Sget_simple_extent_npoints(space.get());
  if (size < 0 || static_cast<hsize_t>(size) > H5Dget_storage_size(data.get())) // a value takes a byte at least
    cannot_read(place);
  use(data.get(), static_cast<std::size_t>(size));
}

bool Hdf5Source::has(const std::string &place) const
{
  // Every group on the way has to be there: asking for a link below a missing group is an error.
  for (auto end = place.find('/', 1);; end = place.find('/', end + 1))
  {
    if (H5Lexists(file, place.substr(0, end).c_str(), H5P_DEFAULT) <= 0)
    {
      H5Eclear2(H5E_DEFAULT);
      return false;
    }
    if (end == std::string::npos)
      return true;
  }
}

std::vector<double> Hdf5Source::numbers(const std::string &place) const
{
  std::vector<double> values;
  with_data_set(place,
                [&](hid_t data, std::size_t size)
                {
                  values.resize(size);
                  if (size > 0 && H5Dread(data, H5T_NATIVE_DOUBLE, H5S_ALL, H5S_ALL, H5P_DEFAULT, values.data()) < 0)
                    cannot_read(place);
                });
  return values;
}

std::vector<std::string> Hdf5Source::words(const std::string &place) const
{
  std::vector<std::string> values;
  with_data_set(place,
                [&](hid_t data, std::size_t size)
                {
                  const Handle type = stored_text_type(H5Dget_type(data));
                  const std::size_t length = type.valid() ? H5Tget_size(type.get()) : 0;
                  std::string texts(size * length, '\0');
                  if (length == 0 || (size > 0 && H5Dread(data, type.get(), H5S_ALL, H5S_ALL, H5P_DEFAULT, texts.data()) < 0))
                    cannot_read(place);
                  for (std::size_t i = 0; i < size; ++i)
                    values.push_back(text_of(texts, i * length, length));
                });
  return values;
}

std::string Hdf5Source::attribute(const std::string &place, const std::string &name) const
{
  const Handle found(H5Aopen_by_name(file, place.c_str(), name.c_str(), H5P_DEFAULT, H5P_DEFAULT), H5Aclose);
  const Handle type = stored_text_type(found.valid() ? H5Aget_type(found.get()) : -1);
  std::string text(type.valid() ? H5Tget_size(type.get()) : 0, '\0');
  if (text.empty() || H5Aget_storage_size(found.get()) != text.size() || H5Aread(found.get(), type.get(), text.data()) < 0)
    cannot_read(place + " (" + name + ")");
  return text_of(text, 0, text.size());
}

double Hdf5Source::number_attribute(const std::string &place, const std::string &name) const
{
  const Handle found(H5Aopen_by_name(file, place.c_str(), name.c_str(), H5P_DEFAULT, H5P_DEFAULT), H5Aclose);
  double value = 0.;
  if (!found.valid() || H5Aget_storage_size(found.get()) != sizeof value || H5Aread(found.get(), H5T_NATIVE_DOUBLE, &value) < 0 ||
      !std::isfinite(value))
    cannot_read(place + " (" + name + ")");
  return value;
}
} // namespace limbwright
