#include "cases/reader/zone_places.h"

#include "cases/reader/nearest_name.h"

#include <fmt/format.h>

#include <algorithm>

namespace limbwright
{
bool of_this_limb(const TomlView &view, const std::string &limb_name, const std::string &written)
{
  if (limb_name == "limb" && written != "both")
  {
    view.find("limb")->error(
        "this bow's limbs are alike, so both have it; to tell them apart write [upper] and [lower] instead of [limb]");
    return false;
  }
  return limb_name == "limb" || written == "both" || written == limb_name;
}

namespace
{
std::optional<std::size_t> index_of(const std::string &name, const LimbDescription &limb, const std::optional<TomlView> &written)
{
  std::vector<std::string> names;
  for (const LaminationDescription &lamination : limb.laminations)
    names.push_back(lamination.name);
  const auto found = std::find(names.begin(), names.end(), name);
  if (found != names.end())
    return static_cast<std::size_t>(found - names.begin());
  if (written)
    written->error(fmt::format("no lamination is named {}; {}", in_quotes(name), name_advice(name, names)));
  return std::nullopt;
}
} // namespace

std::optional<std::size_t> lamination_named(const TomlView &view, const std::string &name, const LimbDescription &limb)
{
  return index_of(name, limb, view.find("lamination"));
}

std::optional<std::array<std::size_t, 2>> laminations_between(const TomlView &view, const std::array<std::string, 2> &names,
                                                              const LimbDescription &limb)
{
  const auto written = view.find("between");
  const auto first = index_of(names[0], limb, written), second = index_of(names[1], limb, written);
  if (!first || !second)
    return std::nullopt;
  if (*first == *second)
  {
    written->error(fmt::format("names {} twice; a glue line joins two laminations", in_quotes(names[0])));
    return std::nullopt;
  }
  return std::array{std::min(*first, *second), std::max(*first, *second)};
}

void check_goes_with(const TomlView &view, const char *key, bool fits, const char *what)
{
  if (view.find(key) && !fits)
    view.find(key)->error(fmt::format("goes with {}; leave it out", what));
}
} // namespace limbwright
