#pragma once

#include <string>

namespace limbwright
{
/// Every key of a case file with its unit, range, default and one line of text, made from the declarations that read them.
std::string key_reference();
} // namespace limbwright
