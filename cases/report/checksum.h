#pragma once

#include <cstdint>
#include <filesystem>
#include <limits>
#include <string>

namespace limbwright
{
/// CRC-32 (of ISO 3309, as zip files and zlib's crc32() have it) of a file's first n_bytes, eight digits in base 16. It finds
/// every damage up to 32 bits wide, and any other but for one in four thousand million; against forgery it is nothing. Throws
/// std::runtime_error.
std::string checksum(const std::filesystem::path &file, std::uintmax_t n_bytes = std::numeric_limits<std::uintmax_t>::max());
} // namespace limbwright
