#pragma once

#include "cases/reader/embedded_files.h"
#include "cases/study/case_edit.h"

#include <algorithm>
#include <string>

namespace limbwright
{
/// The shipped board bow on a coarse mesh, its wood elastic.
inline std::string coarse_ash()
{
  const auto &all = embedded_examples();
  const std::string text =
      std::find_if(all.begin(), all.end(), [](const auto &one) { return one.name == "ash-hickory-board"; })->text;
  return with_value(with_value(text, "mesh.column_length", "1 in").text, "solve.wood", "elastic").text;
}
} // namespace limbwright
