#include "cases/reader/likely_slips.h"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <cmath>

namespace limbwright
{
namespace
{
constexpr double inch = 0.0254; // exact

std::string inches(double metres)
{
  return fmt::format("{:.4g} in", metres / inch);
}

bool begins_with_word(std::string text, const std::string &word)
{
  std::transform(text.begin(), text.end(), text.begin(), [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
  return text.rfind(word, 0) == 0 && (text.size() == word.size() || !std::isalpha(static_cast<unsigned char>(text[word.size()])));
}

void warn_of_order(const std::vector<TomlView> &views, const std::vector<LaminationDescription> &laminations)
{
  if (laminations.size() < 2)
    return;
  const std::size_t last = laminations.size() - 1;
  const bool back_first = begins_with_word(laminations.front().name, "back");
  if (back_first || begins_with_word(laminations[last].name, "belly"))
    views[back_first ? 0 : last].complaints().warning(
        views[back_first ? 0 : last].place_of("name"),
        fmt::format("is listed {}, on the {} side. List laminations from the belly to the back; is the order reversed?",
                    back_first ? "first" : "last", back_first ? "belly" : "back"));
}

void warn_of_thick_facing(const TomlView &view, const BowDescription &bow, const LaminationDescription &lamination)
{
  constexpr double thick = 0.1 * inch;
  const auto material = bow.materials.find(lamination.material);
  if (material == bow.materials.end() || material->second.kind != MaterialKind::composite || lamination.thickness.empty())
    return;
  const double most = *std::max_element(lamination.thickness.value.begin(), lamination.thickness.value.end());
  if (most > thick)
    view.complaints().warning(view.place_of(view.find("thickness") ? "thickness" : "butt"),
                              fmt::format("{} of {} is thick for glass or carbon, usually .02 to .06 in; is the unit right?",
                                          inches(most), lamination.material));
}

/// A wedge that begins farther on grows thicker toward the tip; a strip from the handle to the tip that does is a turned sign.
void warn_of_growing_strip(const TomlView &view, const LimbDescription &limb, const LaminationDescription &lamination)
{
  if (view.find("taper") && lamination.start <= limb.root_station && lamination.end >= limb.tip_station &&
      lamination.thickness.at(limb.tip_station) > lamination.thickness.at(limb.root_station))
    view.complaints().warning(
        view.place_of("taper"),
        "is negative, so the strip gets thicker toward the tip; a taper that thins toward the tip is positive");
}

void warn_of_thick_glue(const TomlView &glue, const LimbDescription &limb)
{
  constexpr double thick = 0.015 * inch;
  const auto warn = [](const TomlView &view, double thickness)
  {
    view.complaints().warning(
        view.place_of("thickness"),
        fmt::format("{} is thick for a glue line, usually .002 to .008 in; is the unit right?", inches(thickness)));
  };
  for (const GlueLineDescription &line : limb.glue)
    if (line.thickness > thick)
    {
      std::optional<TomlView> own;
      if (const auto lines = glue.find("line"))
        for (const TomlView &entry : lines->entries())
          if (const auto text = entry.find("thickness"))
            if (const auto written = text->node().value<std::string>();
                written && parse_quantity(*written, Dimension::length).value == line.thickness)
              own = entry;
      warn(own.value_or(glue), line.thickness);
      return;
    }
}

void warn_of_thin_grip(const TomlView &document, const HandleInput &handle, const LimbDescription &limb)
{
  const auto view = document.find("handle");
  if (!view || !std::isnan(handle.root_back_offset) || std::isnan(handle.throat_to_back))
    return; // limbs on a riser of their own shape
  const double s = limb.root_station;
  double stack = 0.;
  for (std::size_t i = 0; i < limb.laminations.size(); ++i)
    if (const LaminationDescription &l = limb.laminations[i]; l.start <= s && l.end > s)
      stack += l.thickness.at(s) + (i < limb.glue.size() ? limb.glue[i].thickness : 0.);
  constexpr double slack = 0.06 * inch; // the throat is often scraped a little below the fades
  if (handle.throat_to_back < stack - slack)
    view->complaints().warning(
        view->place_of("throat_to_back"),
        fmt::format("grip depth is {}, but the limb is already {} thick where it leaves the handle; one of the two looks wrong",
                    inches(handle.throat_to_back), inches(stack)));
}

/// A limb bent to a quarter of a circle, the string straight from its tip: farther than bows are drawn.
void warn_of_long_draw(const TomlView &document, const BowDescription &bow, const LimbDescription &limb)
{
  const auto view = document.find("bow");
  const double length = limb.nock.station - limb.root_station, half_string = limb.root_back_y + length;
  if (!view || !(length > 0.) || std::isnan(bow.full_draw))
    return;
  const double tip = 2. / M_PI * length, height = limb.root_back_y + tip;
  const double farthest =
      tip - limb.root_back_x + std::sqrt(std::max(0., half_string * half_string - height * height)); // pivot to string
  if (bow.full_draw > farthest)
    view->complaints().warning(view->place_of("draw_length"),
                               fmt::format("is too long for this bow: limbs of {} bent to a quarter circle reach {} from the "
                                           "throat of the grip, and this is {}; check the draw and the lengths",
                                           inches(length), inches(farthest), inches(bow.full_draw)));
}
} // namespace

void warn_of_slips(const TomlView &document, const TomlView &limb_view, const HandleInput &handle, const BowDescription &bow,
                   const LimbDescription &limb)
{
  const auto entries = limb_view.find("lamination");
  const std::vector<TomlView> views = entries ? entries->entries() : std::vector<TomlView>{};
  if (limb.laminations.empty() || document.complaints().n_errors() > 0)
    return;
  warn_of_order(views, limb.laminations);
  for (std::size_t i = 0; i < limb.laminations.size(); ++i)
  {
    warn_of_thick_facing(views[i], bow, limb.laminations[i]);
    warn_of_growing_strip(views[i], limb, limb.laminations[i]);
  }
  if (const auto glue = document.find("glue"))
    warn_of_thick_glue(*glue, limb);
  warn_of_thin_grip(document, handle, limb);
  warn_of_long_draw(document, bow, limb);
}
} // namespace limbwright
