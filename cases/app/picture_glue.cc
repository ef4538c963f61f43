#include "cases/app/picture_canvas.h"
#include "cases/app/picture_views.h"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <limits>

namespace limbwright::picture
{
namespace
{
constexpr int picture_width = 2000, letters = 38, key_row = 52;
constexpr double left = 170., right = 1830., drawing_height = 700.;

// Eight colours that stay apart for the colour-blind: they differ in lightness as well as in hue.
constexpr std::array<Colour, 8> line_colours = {{{0.03, 0.16, 0.40},
                                                 {0.80, 0.39, 0.05},
                                                 {0.20, 0.60, 0.85},
                                                 {0.45, 0.20, 0.45},
                                                 {0.05, 0.50, 0.42},
                                                 {0.93, 0.65, 0.15},
                                                 {0.50, 0.50, 0.52},
                                                 {0.75, 0.45, 0.65}}};

// A step of 1, 2 or 5 times a power of ten that divides the span into about n parts.
double round_step(double span, int n)
{
  const double raw = span / n, power = std::pow(10., std::floor(std::log10(raw)));
  for (const double step : {1., 2., 5.})
    if (raw <= step * power * 1.0001)
      return step * power;
  return 10. * power;
}
} // namespace

void draw_glue_picture(const ResultsData &data, const std::filesystem::path &file)
{
  double s_high = 0., low = 0., high = 0., s_low = std::numeric_limits<double>::infinity();
  for (const GlueCurve &line : data.glue)
  {
    for (const double s : line.station)
    {
      s_low = std::min(s_low, s);
      s_high = std::max(s_high, s);
    }
    for (const double shear : line.shear)
    {
      low = std::min(low, shear);
      high = std::max(high, shear);
    }
  }
  const double step = round_step(std::max(high - low, 1e-3), 6);
  low = step * std::floor(low / step);
  high = step * std::ceil(high / step);
  const double s_start = std::floor(s_low), s_end = std::ceil(s_high);
  const int n_key_rows = static_cast<int>((data.glue.size() + 1) / 2);
  const double key_top = 20. + n_key_rows * key_row, bottom = key_top + 130., top = bottom + drawing_height;
  const int picture_height = static_cast<int>(top) + 250;
  const auto at = [&](double s, double shear)
  {
    return Place{left + (right - left) * (s - s_start) / (s_end - s_start),
                 bottom + (top - bottom) * (shear - low) / (high - low)};
  };

  Canvas canvas(picture_width, picture_height);
  canvas.text({left, picture_height - 50.}, data.title, letters + 8);
  canvas.text({left, picture_height - 110.},
              fmt::format("Shear in the glue lines at {:.1f} lb and {:.1f} in of draw, averaged over a short length",
                          data.draw_weight, data.draw_told),
              letters);
  constexpr double psi_per_mpa = 145.03774;
  for (double shear = low; shear < high + 0.5 * step; shear += step)
  {
    const double height = at(s_start, shear)[1];
    canvas.line({{left, height}, {right, height}}, std::abs(shear) < 0.5 * step ? ink : pale, 2.);
    canvas.text({left - 20., height}, fmt::format("{:.0f}", shear), letters, Align::right);
    canvas.text({right + 20., height}, fmt::format("{:.1f}", shear / psi_per_mpa), letters);
  }
  canvas.text({left - 20., top + 50.}, "psi", letters, Align::right);
  canvas.text({right + 20., top + 50.}, "MPa", letters);
  for (int s = static_cast<int>(s_start); s <= static_cast<int>(s_end); ++s)
  {
    const Place foot = {at(s, 0.)[0], bottom};
    canvas.line({foot, {foot[0], bottom - (s % 5 == 0 ? 20. : 10.)}}, ink, 2.);
    if (s % 5 == 0)
      canvas.text({foot[0], bottom - 45.}, fmt::format("{}", s), letters, Align::centre);
  }
  canvas.text({(left + right) / 2., bottom - 95.}, "inches from center, along the back", letters, Align::centre);

  for (std::size_t i = 0; i < data.glue.size(); ++i)
  {
    const GlueCurve &line = data.glue[i];
    const Colour colour = line_colours[i % line_colours.size()];
    std::vector<Place> places;
    for (std::size_t k = 0; k < line.station.size(); ++k)
      places.push_back(at(line.station[k], line.shear[k]));
    canvas.line(places, colour, 5.);
    // The key, in two columns below the drawing.
    const double row = key_top - key_row * (0.5 + static_cast<double>(i / 2)), column = left + (i % 2) * (right - left) / 2.;
    canvas.line({{column, row}, {column + 80., row}}, colour, 8.);
    canvas.text({column + 100., row}, line.name, letters);
  }
  canvas.write(file);
}
} // namespace limbwright::picture
