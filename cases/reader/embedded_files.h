#pragma once

#include <string>
#include <vector>

namespace limbwright
{
/// A text file of the source tree that travels inside the program.
struct EmbeddedFile
{
  std::string name; //!< library: file name without its ending; example: name of its folder; page: file name
  std::string text;
};

std::vector<EmbeddedFile> embedded_library();
std::vector<EmbeddedFile> embedded_examples();
/// The parts of the report's page (template, style, scripts, chart library) and the completion script, by file name.
std::vector<EmbeddedFile> embedded_page();
} // namespace limbwright
