#pragma once

#include "cases/reader/keys.h"
#include "materials/material.h"

#include <map>
#include <string>
#include <variant>

namespace limbwright
{
// Materials and adhesives, the library's and a case's own, are written and read alike.

const Section<Material> &material_section();
const Section<Adhesive> &adhesive_section();

std::vector<std::string> material_kind_words();
std::string word_of(MaterialKind kind);

/// Whether keys beyond the declared ones are taken: any in the library, in a case only those the library uses too.
struct FurtherKeys
{
  bool any = false;
  std::map<std::string, std::string> known; //!< SI unit by key
};

/// Constants none of which is known yet.
OrthotropicConstants unknown_constants();

/// Reads one material's table into `into`, which holds the values of the material it is based on, if any; then checks that
/// the nine constants are there and the stiffness is positive definite. Complaints go to the view.
void read_material(const TomlView &view, const FurtherKeys &further, Material &into);
/// The same for an adhesive: density and both moduli must be there.
void read_adhesive(const TomlView &view, const FurtherKeys &further, Adhesive &into);

/// Reads a library file; its kind decides which of the two it is.
std::variant<std::monostate, Material, Adhesive> read_library_file(const std::string &name, const TomlView &view);
} // namespace limbwright
