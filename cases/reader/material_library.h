#pragma once

#include "materials/material.h"

#include <map>
#include <string>

namespace limbwright
{
/// The materials and adhesives that travel with the program, by their short names. Read once, on first use.
/// A mistake in a library file is ours: std::logic_error with file, line and key.
const std::map<std::string, Material> &library_materials();
const std::map<std::string, Adhesive> &library_adhesives();

/// SI unit (empty for a ratio) of every further property the library holds, by key.
const std::map<std::string, std::string> &library_further_units();
} // namespace limbwright
