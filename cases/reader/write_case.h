#pragma once

#include "cases/reader/case.h"
#include "cases/reader/toml_view.h"

#include <string>

namespace limbwright
{
/// The case as a file that can be run again: what its author wrote, every default written out and marked, and the materials and
/// adhesives it uses in full, so that it no longer depends on the library.
std::string write_case(const TomlView &document, const Case &read);
} // namespace limbwright
