#include "cases/report/checksum.h"

#include <boost/crc.hpp>
#include <fmt/format.h>

#include <cerrno>
#include <cstring>
#include <fstream>
#include <stdexcept>
#include <vector>

namespace limbwright
{
std::string checksum(const std::filesystem::path &path, std::uintmax_t from, std::uintmax_t *n_bytes)
{
  std::ifstream file(path, std::ios::binary);
  if (!file || !file.seekg(static_cast<std::streamoff>(from)))
    throw std::runtime_error("cannot read " + path.string() + ": " + std::strerror(errno));
  boost::crc_32_type crc;
  std::uintmax_t n = 0;
  std::vector<char> block(1U << 20U);
  while (file.read(block.data(), static_cast<std::streamsize>(block.size())), file.gcount() > 0)
  {
    crc.process_bytes(block.data(), static_cast<std::size_t>(file.gcount()));
    n += static_cast<std::uintmax_t>(file.gcount());
  }
  if (file.bad())
    throw std::runtime_error("cannot read " + path.string() + ": " + std::strerror(errno));
  if (n_bytes != nullptr)
    *n_bytes = n;
  return fmt::format("{:08x}", crc.checksum());
}
} // namespace limbwright
