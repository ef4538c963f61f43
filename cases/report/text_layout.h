#pragma once

#include <string>

namespace limbwright
{
/// Text broken at spaces into lines of at most `width` letters, every line after the first indented.
std::string wrapped(const std::string &text, std::size_t indent, std::size_t width = 88);
/// The same text on one line again, with single spaces.
std::string unwrapped(const std::string &text);
/// The same text with a capital first letter.
std::string capital(std::string text);
} // namespace limbwright
