#include "cases/report/checksum.h"

#include <boost/crc.hpp>
#include <fmt/format.h>

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <fstream>
#include <stdexcept>
#include <vector>

namespace limbwright
{
std::string checksum(const std::filesystem::path &path, std::uintmax_t n_bytes)
{
  std::ifstream file(path, std::ios::binary);
  if (!file)
    throw std::runtime_error("cannot read " + path.string() + ": " + std::strerror(errno));
  boost::crc_32_type crc;
  std::vector<char> block(1U << 20U);
  while (n_bytes > 0 && (file.read(block.data(), static_cast<std::streamsize>(std::min<std::uintmax_t>(block.size(), n_bytes))),
                         file.gcount() > 0))
  {
    crc.process_bytes(block.data(), static_cast<std::size_t>(file.gcount()));
    n_bytes -= static_cast<std::uintmax_t>(file.gcount());
  }
  if (file.bad())
    throw std::runtime_error("cannot read " + path.string() + ": " + std::strerror(errno));
  return fmt::format("{:08x}", crc.checksum());
}
} // namespace limbwright
