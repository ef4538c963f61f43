#include "cases/report/text_layout.h"

#include <algorithm>

namespace limbwright
{
std::string wrapped(const std::string &text, std::size_t indent, std::size_t width)
{
  std::string result;
  std::size_t column = 0;
  std::size_t begin = 0;
  bool first = true; // of its line; spaces that lead the text are kept
  while (begin < text.size())
  {
    const auto end = std::min(text.find(' ', begin), text.size());
    const auto word = text.substr(begin, end - begin);
    if (!first && column + 1 + word.size() > width)
    {
      result += "\n" + std::string(indent, ' ');
      column = indent;
    }
    else if (!first)
    {
      result += ' ';
      ++column;
    }
    first = false;
    result += word;
    column += word.size();
    begin = end + 1;
  }
  return result;
}

std::string unwrapped(const std::string &text)
{
  std::string line;
  bool space = false;
  for (const char c : text)
  {
    if (c == ' ' || c == '\n')
      space = !line.empty();
    else
    {
      line += (space ? " " : "") + std::string(1, c);
      space = false;
    }
  }
  return line;
}

std::string capital(std::string text)
{
  if (!text.empty() && text[0] >= 'a' && text[0] <= 'z')
    text[0] = static_cast<char>(text[0] - 'a' + 'A');
  return text;
}
} // namespace limbwright
