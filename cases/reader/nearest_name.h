#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace limbwright
{
/// Number of letters to insert, drop, replace or swap with their neighbour to turn one name into the other.
std::size_t edit_distance(std::string_view a, std::string_view b);

/// The known name a writer most likely meant; empty when none is near.
std::string nearest_name(std::string_view given, const std::vector<std::string> &known);

/// "did you mean ...? Known: a, b, c" (a long list is cut).
std::string name_advice(std::string_view given, const std::vector<std::string> &known);

/// The text in quotes, cut when it is long, control characters replaced.
std::string in_quotes(std::string_view text);
} // namespace limbwright
