#pragma once

#include <string>
#include <string_view>

namespace limbwright
{
/// First byte of a UTF-8 text that a terminal would obey in place of showing it, npos where there is none: control characters
/// (C0, DEL, C1), line and paragraph separators, and the marks that reverse the direction of writing.
std::size_t first_control(std::string_view text, bool lines_allowed = false);

/// The text with each of those replaced by '?'.
std::string harmless(std::string_view text);
} // namespace limbwright
