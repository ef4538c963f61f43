#include "cases/report/text_file.h"

#include <cerrno>
#include <cstring>
#include <fstream>
#include <iterator>

#include <fcntl.h>
#include <unistd.h>

namespace limbwright
{
namespace fs = std::filesystem;

namespace
{
/// Closes a file descriptor when it goes out of scope.
class Descriptor
{
public:
  explicit Descriptor(int descriptor) : number(descriptor) {}
  Descriptor(const Descriptor &) = delete;
  Descriptor &operator=(const Descriptor &) = delete;
  ~Descriptor()
  {
    if (number >= 0)
      ::close(number);
  }
  int get() const { return number; }
  /// Some file systems report a full disk only when the file is closed.
  bool close()
  {
    const int result = ::close(number);
    number = -1;
    return result == 0;
  }

private:
  int number;
};

void flush_descriptor(const fs::path &path, int descriptor)
{
  if (::fsync(descriptor) != 0 && errno != EINVAL && errno != ENOTSUP && errno != EROFS)
    throw CannotWrite(path, std::strerror(errno));
}

void write_all(const fs::path &path, int descriptor, const std::string &text)
{
  std::size_t written = 0;
  while (written < text.size())
  {
    const ssize_t n = ::write(descriptor, text.data() + written, text.size() - written);
    if (n < 0 && errno != EINTR)
      throw CannotWrite(path, std::strerror(errno));
    if (n > 0)
      written += static_cast<std::size_t>(n);
  }
}
} // namespace

void write_text_file(const fs::path &path, const std::string &text, Existing existing)
{
  std::error_code error;
  const bool there = fs::exists(path, error), special = there && !fs::is_regular_file(path, error);
  const bool replace = existing == Existing::replace && there && !special;
  const fs::path last = replace ? fs::canonical(path, error) : path; // a link stays one
  fs::path file_name = last;
  if (replace)
    file_name += ".part";
  const int how = existing == Existing::refuse ? O_EXCL : O_TRUNC;
  Descriptor file(::open(file_name.c_str(), O_WRONLY | O_CREAT | O_CLOEXEC | how, 0666));
  if (file.get() < 0)
    throw CannotWrite(path, errno == EEXIST ? "a file of that name already exists" : std::strerror(errno));
  try
  {
    write_all(path, file.get(), text);
    flush_descriptor(path, file.get());
    if (!file.close() || (replace && ::rename(file_name.c_str(), last.c_str()) != 0))
      throw CannotWrite(path, std::strerror(errno));
  }
  catch (const CannotWrite &)
  {
    if (!special)
      ::unlink(file_name.c_str());
    throw;
  }
}

std::string read_text_file(const fs::path &path)
{
  std::ifstream file(path, std::ios::binary);
  if (!file)
    throw std::runtime_error("cannot read " + path.string() + ": " + std::strerror(errno));
  std::string text{std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
  if (file.bad())
    throw std::runtime_error("cannot read " + path.string());
  return text;
}

void flush_to_disk(const fs::path &path)
{
  const Descriptor file(::open(path.c_str(), O_RDONLY | O_CLOEXEC));
  if (file.get() < 0)
    throw CannotWrite(path, std::strerror(errno));
  flush_descriptor(path, file.get());
}
} // namespace limbwright
