#pragma once

#include <string>

namespace limbwright
{
/// Bytes as text of the base64 alphabet (RFC 4648, 2006), padded: how a picture travels inside a page.
std::string base64(const std::string &bytes);
} // namespace limbwright
