#pragma once

#include <map>
#include <string>

namespace limbwright
{
std::string program_version();
/// Versions of the libraries this program was built with, by name.
std::map<std::string, std::string> library_versions();
} // namespace limbwright
