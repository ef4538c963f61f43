#pragma once

#include "cases/reader/case.h"
#include "cases/study/resize.h"

#include <filesystem>
#include <optional>
#include <string>

namespace limbwright
{
// What commands are asked for on the command line; nothing after a complaint.

/// A case and the text it was read from, at the draw length asked for.
struct CaseAndText
{
  Case read;
  std::string text;
};
/// draw_length: as the case tells it, with its unit; empty: the case's.
std::optional<CaseAndText> read_at(const std::filesystem::path &file, const std::string &draw_length);
/// [N]
std::optional<double> weight_asked(const std::string &text);
std::optional<Resizing> resizing_asked(const Case &bow_case, const std::string &by);
} // namespace limbwright
