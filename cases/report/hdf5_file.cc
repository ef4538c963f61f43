#include "cases/report/hdf5_file.h"

#include "cases/report/text_file.h"

#include <hdf5.h>

#include <stdexcept>

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
  Handle(const Handle &) = delete;
  Handle &operator=(const Handle &) = delete;
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

hid_t text_type()
{
  const hid_t type = H5Tcopy(H5T_C_S1);
  H5Tset_size(type, H5T_VARIABLE);
  H5Tset_cset(type, H5T_CSET_UTF8);
  return type;
}

hid_t groups_on_the_way()
{
  const hid_t property = H5Pcreate(H5P_LINK_CREATE);
  H5Pset_create_intermediate_group(property, 1);
  return property;
}
} // namespace

Hdf5File::Hdf5File(std::filesystem::path place) : path(std::move(place))
{
  keep_quiet();
  file = H5Fcreate(path.c_str(), H5F_ACC_TRUNC, H5P_DEFAULT, H5P_DEFAULT);
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
  const bool whole = H5Fflush(file, H5F_SCOPE_GLOBAL) >= 0;
  const bool closed = H5Fclose(file) >= 0;
  file = -1;
  if (!whole || !closed)
    throw CannotWrite(path, reason());
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
  const Handle type(text_type(), H5Tclose);
  const char *text = value.c_str();
  attribute_of(place, name, type.get(), [&](hid_t made) { return H5Awrite(made, type.get(), &text); });
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
  const Handle space(H5Screate_simple(1, &size, nullptr), H5Sclose);
  const Handle property(groups_on_the_way(), H5Pclose);
  const Handle type(text_type(), H5Tclose);
  const Handle made(H5Dcreate2(file, place.c_str(), type.get(), space.get(), property.get(), H5P_DEFAULT, H5P_DEFAULT), H5Dclose);
  std::vector<const char *> texts;
  for (const auto &value : values)
    texts.push_back(value.c_str());
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

/// Calls use(data set, its space, number of values).
template <class Use>
void Hdf5Source::with_data_set(const std::string &place, Use use) const
{
  const Handle data(H5Dopen2(file, place.c_str(), H5P_DEFAULT), H5Dclose);
  if (!data.valid())
    cannot_read(place);
  const Handle space(H5Dget_space(data.get()), H5Sclose);
  use(data.get(), space.get(), static_cast<std::size_t>(H5Sget_simple_extent_npoints(space.get())));
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
                [&](hid_t data, hid_t, std::size_t size)
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
                [&](hid_t data, hid_t space, std::size_t size)
                {
                  const Handle type(text_type(), H5Tclose);
                  std::vector<char *> texts(size, nullptr);
                  if (size > 0 && H5Dread(data, type.get(), H5S_ALL, H5S_ALL, H5P_DEFAULT, texts.data()) < 0)
                    cannot_read(place);
                  for (const char *text : texts)
                    values.emplace_back(text != nullptr ? text : "");
                  H5Dvlen_reclaim(type.get(), space, H5P_DEFAULT, texts.data());
                });
  return values;
}

std::string Hdf5Source::attribute(const std::string &place, const std::string &name) const
{
  const Handle found(H5Aopen_by_name(file, place.c_str(), name.c_str(), H5P_DEFAULT, H5P_DEFAULT), H5Aclose);
  const Handle type(text_type(), H5Tclose);
  char *text = nullptr;
  if (!found.valid() || H5Aread(found.get(), type.get(), &text) < 0 || text == nullptr)
    cannot_read(place + " (" + name + ")");
  std::string value = text;
  H5free_memory(text);
  return value;
}

double Hdf5Source::number_attribute(const std::string &place, const std::string &name) const
{
  const Handle found(H5Aopen_by_name(file, place.c_str(), name.c_str(), H5P_DEFAULT, H5P_DEFAULT), H5Aclose);
  double value = 0.;
  if (!found.valid() || H5Aread(found.get(), H5T_NATIVE_DOUBLE, &value) < 0)
    cannot_read(place + " (" + name + ")");
  return value;
}
} // namespace limbwright
