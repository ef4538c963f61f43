#include "cases/reader/nearest_name.h"

#include "cases/reader/plain_text.h"

#include <fmt/format.h>

#include <algorithm>

namespace limbwright
{
std::size_t edit_distance(std::string_view a, std::string_view b)
{
  // Three rows of the table of optimal string alignment: the swap of neighbours looks two rows back.
  std::vector<std::size_t> two_back(b.size() + 1), back(b.size() + 1), row(b.size() + 1);
  for (std::size_t j = 0; j <= b.size(); ++j)
    back[j] = j;
  for (std::size_t i = 1; i <= a.size(); ++i)
  {
    row[0] = i;
    for (std::size_t j = 1; j <= b.size(); ++j)
    {
      const std::size_t change = a[i - 1] == b[j - 1] ? 0 : 1;
      row[j] = std::min({back[j] + 1, row[j - 1] + 1, back[j - 1] + change});
      if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
        row[j] = std::min(row[j], two_back[j - 2] + 1);
    }
    std::swap(two_back, back);
    std::swap(back, row);
  }
  return back[b.size()];
}

std::string nearest_name(std::string_view given, const std::vector<std::string> &known)
{
  constexpr std::size_t longest = 64; // a longer name is no slip of the finger, and the table would grow with its square
  if (given.empty() || given.size() > longest)
    return {};
  std::string best;
  std::size_t best_distance = std::max<std::size_t>(1, given.size() / 3) + 1;
  for (const std::string &name : known)
  {
    std::size_t distance = edit_distance(given, name);
    // "maple" for "hard-maple": a whole part of a compound name is near too.
    if (given.size() >= 3 && name.find(given) != std::string::npos)
      distance = std::min<std::size_t>(distance, 1);
    if (distance < best_distance)
    {
      best_distance = distance;
      best = name;
    }
  }
  return best;
}

std::string name_advice(std::string_view given, const std::vector<std::string> &known)
{
  constexpr std::size_t most = 40;
  std::string list;
  for (std::size_t i = 0; i < std::min(most, known.size()); ++i)
    list += (i == 0 ? "" : ", ") + known[i];
  if (known.size() > most)
    list += ", ...";
  const std::string nearest = nearest_name(given, known);
  std::string advice = nearest.empty() ? std::string{} : fmt::format("did you mean \"{}\"? ", nearest);
  return advice + (list.empty() ? "None are known here" : "Known: " + list);
}

std::string in_quotes(std::string_view text)
{
  constexpr std::size_t longest = 48;
  return "\"" + harmless(text.substr(0, longest)) + (text.size() > longest ? "...\"" : "\"");
}
} // namespace limbwright
