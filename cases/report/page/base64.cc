#include "cases/report/page/base64.h"

#include <cstdint>

namespace limbwright
{
std::string base64(const std::string &bytes)
{
  constexpr const char *letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
  std::string text;
  text.reserve((bytes.size() + 2) / 3 * 4);
  for (std::size_t i = 0; i < bytes.size(); i += 3)
  {
    const auto byte = [&](std::size_t k) -> std::uint32_t
    { return i + k < bytes.size() ? static_cast<unsigned char>(bytes[i + k]) : 0U; };
    const std::uint32_t group = byte(0) << 16U | byte(1) << 8U | byte(2);
    for (std::size_t k = 0; k < 4; ++k)
      text += k <= bytes.size() - i ? letters[group >> (18U - 6U * k) & 63U] : '=';
  }
  return text;
}
} // namespace limbwright
