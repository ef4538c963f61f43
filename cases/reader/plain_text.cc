#include "cases/reader/plain_text.h"

namespace limbwright
{
namespace
{
/// Bytes of the control character that begins here, 0 where none does.
std::size_t control_length(std::string_view text, std::size_t i)
{
  const auto byte = [&](std::size_t k) { return i + k < text.size() ? static_cast<unsigned char>(text[i + k]) : 0U; };
  if (byte(0) < 0x20 || byte(0) == 0x7f)
    return 1;
  if (byte(0) == 0xc2 && byte(1) >= 0x80 && byte(1) <= 0x9f) // U+0080 to U+009F
    return 2;
  const bool separator_or_embedding = byte(1) == 0x80 && byte(2) >= 0xa8 && byte(2) <= 0xae; // U+2028 to U+202E
  const bool isolate = byte(1) == 0x81 && byte(2) >= 0xa6 && byte(2) <= 0xa9;                // U+2066 to U+2069
  return byte(0) == 0xe2 && (separator_or_embedding || isolate) ? 3 : 0;
}
} // namespace

std::size_t first_control(std::string_view text, bool lines_allowed)
{
  for (std::size_t i = 0; i < text.size(); ++i)
    if (control_length(text, i) > 0 && !(lines_allowed && (text[i] == '\n' || text[i] == '\t' || text[i] == '\r')))
      return i;
  return std::string_view::npos;
}

std::string harmless(std::string_view text)
{
  std::string out;
  for (std::size_t i = 0; i < text.size();)
  {
    const std::size_t length = control_length(text, i);
    out += length > 0 ? '?' : text[i];
    i += length > 0 ? length : 1;
  }
  return out;
}
} // namespace limbwright
