#include "cases/reader/cut_reader.h"

#include "cases/reader/zone_places.h"

#include <fmt/format.h>

#include <algorithm>
#include <stdexcept>

namespace limbwright
{
namespace
{
std::optional<TomlView> weak_tables(const TomlView &document)
{
  const auto view = document.find("weak");
  return view && view->table() != nullptr ? view : std::nullopt; // read_weak has complained
}

std::string inches(double metres)
{
  return fmt::format("{:.4g} in", metres / 0.0254);
}
} // namespace

void check_filling(const TomlView &view, const GluePatch &patch)
{
  if (patch.filled() && patch.strength == 0.)
    view.complaints().error(
        view.place_of("strength"),
        "is missing or 0, but a filled split holds; write 1 for a filling as strong as its adhesive, less for a poor one");
}

std::vector<Written<Split>> read_splits(const TomlView &document, const TomlView &limb_view, const LimbDescription &limb)
{
  std::vector<Written<Split>> splits;
  const auto weak = weak_tables(document);
  if (!weak)
    return splits;
  read_each(*weak, "split",
            [&](const TomlView &view)
            {
              const std::size_t errors_before = view.complaints().n_errors();
              SplitInput input;
              read_section(view, weak_split_section(), input);
              if (view.complaints().n_errors() > errors_before || !of_this_limb(view, limb_view.place().key, input.limb))
                return;
              const auto index = lamination_named(view, input.lamination, limb);
              if (!index)
                return;
              input.split.lamination = *index;
              const bool out = input.split.comes_out != SplitExit::none;
              check_goes_with(view, "slope", !out,
                              "comes_out = \"no\": the slope of a splinter follows from where it begins and where it comes out");
              check_goes_with(view, "slant", !out, "comes_out = \"no\": a splinter cannot slant across the width");
              check_goes_with(view, "toward", out, "comes_out = \"back\" or \"belly\"");
              check_filling(view, input.split.patch);
              splits.push_back({input.split, view});
            });
  return splits;
}

std::vector<Written<WrapInput>> read_wraps(const TomlView &document, const TomlView &limb_view, const LimbDescription &limb)
{
  std::vector<Written<WrapInput>> wraps;
  const auto weak = weak_tables(document);
  if (!weak)
    return wraps;
  read_each(*weak, "wrap",
            [&](const TomlView &view)
            {
              const std::size_t errors_before = view.complaints().n_errors();
              WrapInput input;
              read_section(view, weak_wrap_section(), input);
              if (view.complaints().n_errors() > errors_before || !of_this_limb(view, limb_view.place().key, input.limb))
                return;
              if (input.wrap.to <= input.wrap.from)
                view.find("to")->error("the wrap must end closer to the tip than it begins");
              else if (input.wrap.from < limb.root_station - 1e-6 || input.wrap.to > limb.tip_station + 1e-6)
                view.error(fmt::format("lies outside the limb, which bends from {} to {}", inches(limb.root_station),
                                       inches(limb.tip_station)));
              wraps.push_back({input, view});
            });
  return wraps;
}

void divide_limb(const std::vector<Written<Split>> &splits, LimbDescription &limb)
{
  std::vector<Split> fitting;
  LimbDescription parted = limb;
  for (const Written<Split> &written : splits)
  {
    fitting.push_back(written.value);
    try
    {
      parted = divided(limb, fitting);
    }
    catch (const std::invalid_argument &unfit)
    {
      written.view.error(unfit.what());
      fitting.pop_back();
    }
  }
  limb = std::move(parted);
}

void put_wraps(const std::vector<Written<WrapInput>> &wraps, const std::map<std::string, Material> &materials,
               LimbDescription &limb)
{
  for (const auto &[input, view] : wraps)
    if (const auto material = materials.find(input.material); material != materials.end())
    {
      Wrap wrap = input.wrap;
      wrap.modulus = material->second.constants.E_L;
      wrap.strength = material->second.strengths.tension_L;
      limb.wraps.push_back(wrap);
    }
}
} // namespace limbwright
