#pragma once

#include "fuzz/choices.h"

#include <filesystem>

namespace limbwright::fuzz
{
/// Spoils what is stored in a results file, as bytes choose, and seals it again: values of columns become other ones or none,
/// words other words, columns longer, shorter or absent.
void spoil_stored(const std::filesystem::path &results_file, Choices choices);

/// What is promised of a results file with a right checksum, whatever its values are: it is refused by std::runtime_error, or
/// all that is told of a run can be told of it. True where it was read. Throws anything else where that is broken.
bool tells_or_refuses(const std::filesystem::path &results_file);
} // namespace limbwright::fuzz
