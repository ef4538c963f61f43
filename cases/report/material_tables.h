#pragma once

#include "materials/material.h"

#include <map>
#include <string>

namespace limbwright
{
std::string provenance_words(Provenance provenance);

/// One line for each material and adhesive: short name, what it is, density, modulus along the grain.
std::string materials_list(const std::map<std::string, Material> &materials, const std::map<std::string, Adhesive> &adhesives);

/// Every property with its value, how it is known, and its source.
std::string material_table(const Material &material);
std::string adhesive_table(const Adhesive &adhesive);
} // namespace limbwright
