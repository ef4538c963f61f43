#include "cases/report/derived_bow.h"

#include "cases/report/output_units.h"
#include "cases/report/text_layout.h"
#include "meshing/shape/limb_shape.h"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>

namespace limbwright
{
namespace
{
std::string in_and_mm(double length, int decimals = 3)
{
  return fmt::format("{:.{}f} in ({:.{}f} mm)", length / inch, decimals, length / millimetre, std::max(0, decimals - 1));
}

/// Root, every whole inch, tip. [m]
std::vector<double> inch_stations(const LimbDescription &limb)
{
  std::vector<double> stations{limb.root_station};
  for (int i = static_cast<int>(std::floor(limb.root_station / inch)) + 1; i * inch < limb.tip_station; ++i)
    if (i * inch > limb.root_station + 0.05 * inch && i * inch < limb.tip_station - 0.05 * inch)
      stations.push_back(i * inch);
  stations.push_back(limb.tip_station);
  return stations;
}

bool is_composite(const Case &bow_case, const LaminationDescription &lamination)
{
  const auto found = bow_case.bow.materials.find(lamination.material);
  return found != bow_case.bow.materials.end() && found->second.kind == MaterialKind::composite;
}

/// "thickness at 4.5 in 0.443, 19.5 in 0.378" for a piece that is not one straight taper; empty otherwise.
std::string knots(const StationTable &thickness, double start, double end)
{
  std::string text;
  int n_inside = 0;
  for (std::size_t i = 0; i < thickness.station.size(); ++i)
    if (thickness.station[i] > start + 1e-6 && thickness.station[i] < end - 1e-6)
    {
      text += fmt::format(", {:.2f} in {:.3f}", thickness.station[i] / inch, thickness.value[i] / inch);
      ++n_inside;
    }
  if (n_inside == 0)
    return {};
  return fmt::format("      not one taper; thickness at station {:.2f} in {:.3f}{}, {:.2f} in {:.3f}\n", start / inch,
                     thickness.at(start) / inch, text, end / inch, thickness.at(end) / inch);
}

std::string end_words(const LimbShape &shape, std::size_t i, double start, double end)
{
  const auto &limb = shape.description();
  const auto &lamination = limb.laminations[i];
  std::string text;
  const auto tell = [&](const char *which, double station)
  {
    text += fmt::format("      {} at station {:.2f} in, there {:.3f} in thick", which, station / inch,
                        shape.thickness(i, station) / inch);
    if (lamination.bevel > 0.)
      text += fmt::format("; bevelled over {:.2f} in to {:.3f} in", lamination.bevel / inch, lamination.feather / inch);
    else if (shape.thickness(i, station) <= 1.01 * lamination.feather)
      text += "; feathered, cut square there";
    else
      text += "; square";
    if (shape.pocket_length(i) > 0.)
      text += fmt::format("; glue pocket {:.2f} in long", shape.pocket_length(i) / inch);
    text += "\n";
  };
  if (start > limb.root_station + 1e-6)
    tell("begins", start);
  if (end < limb.tip_station - 1e-6)
    tell("ends", end);
  return text;
}

std::string cut_list(const LimbShape &shape)
{
  const auto &limb = shape.description();
  auto text = fmt::format("Cut list, belly to back, for one limb from where it leaves the handle (glue not counted)\n"
                          "  {:<19} {:<18} {:>10}{:>10}{:>12}{:>12}\n  {:<19} {:<18} {:>10}{:>10}{:>12}{:>12}\n",
                          "piece", "material", "butt", "tip", "taper", "length", "", "", "in", "in", "thou/in", "in");
  for (std::size_t i = 0; i < shape.n_laminations(); ++i)
  {
    const auto &lamination = limb.laminations[i];
    const double start = std::max(shape.start(i), limb.root_station);
    const double end = std::min(shape.end(i), limb.tip_station);
    const double butt = shape.thickness(i, start), tip = shape.thickness(i, end);
    const double taper = end > start ? (butt - tip) / (end - start) : 0.;
    text += fmt::format("  {:<19} {:<18} {:>10.3f}{:>10.3f}{:>12.2f}{:>12.2f}\n", lamination.name, lamination.material,
                        butt / inch, tip / inch, taper * 1000. + 0., (end - start) / inch);
    text += knots(lamination.thickness, start, end) + end_words(shape, i, start, end);
  }
  return text + "\n";
}

/// Where tapers, edges or arcs meet at an angle.
std::string corner_note(const LimbShape &shape)
{
  const std::vector<double> corners = shape.corners();
  if (corners.empty())
    return {};
  std::string stations;
  for (const double s : corners)
    stations += fmt::format("{}{:.2f}", stations.empty() ? "" : ", ", s / inch);
  return wrapped("  Corners, where a thickness, the width or the side profile changes its taper or bend at once: " + stations +
                     " in. Strain gathers there.",
                 2) +
         "\n\n";
}

std::string stack_table(const Case &bow_case, const LimbShape &shape)
{
  std::string text = "Width and stack (in). 'No glass' leaves out every layer of fibre and resin.\n";
  text += fmt::format("  {:>9}{:>9} |{:>11}{:>11} |{:>11}{:>11} |{:>11}\n", "station", "width", "all,", "all,", "no glass,",
                      "no glass,", "stack, mm");
  text += fmt::format("  {:>9}{:>9} |{:>11}{:>11} |{:>11}{:>11} |{:>11}\n", "", "", "with glue", "no glue", "with glue",
                      "no glue", "with glue");
  for (const double s : inch_stations(shape.description()))
  {
    double pieces = 0., glass = 0.;
    for (std::size_t i = 0; i < shape.n_laminations(); ++i)
      if (shape.present(i, s))
      {
        pieces += shape.thickness(i, s);
        if (is_composite(bow_case, shape.description().laminations[i]))
          glass += shape.thickness(i, s);
      }
    const double stack = shape.stack(s);
    text +=
        fmt::format("  {:>9.2f}{:>9.3f} |{:>11.3f}{:>11.3f} |{:>11.3f}{:>11.3f} |{:>11.2f}\n", s / inch, shape.width(s) / inch,
                    stack / inch, pieces / inch, (stack - glass) / inch, (pieces - glass) / inch, stack / millimetre);
  }
  return text + "\n";
}

std::string form_table(const LimbShape &shape)
{
  const auto &limb = shape.description();
  auto text = fmt::format(
      "Form under the back: the unstrung back, spring-back not counted, overlays left off.\n"
      "'Along' runs straight from the middle of the handle, square to the shot; 'offset' is from\n"
      "the back where the limb leaves the handle, positive toward the target (reflex).\n  {:>9}{:>11}{:>11}{:>12}{:>12}{:>12}\n",
      "station", "along, in", "offset, in", "along, mm", "offset, mm", "lean, deg");
  const double x_root = shape.back(limb.root_station)[0];
  for (const double s : inch_stations(limb))
  {
    const auto place = shape.back(s);
    text +=
        fmt::format("  {:>9.2f}{:>11.3f}{:>11.3f}{:>12.1f}{:>12.1f}{:>12.2f}\n", s / inch, place[1] / inch,
                    (place[0] - x_root) / inch, place[1] / millimetre, (place[0] - x_root) / millimetre, shape.lean(s) / degree);
  }
  return text + "\n";
}

double limb_mass(const Case &bow_case, const LimbShape &shape)
{
  std::vector<double> lamination_density, glue_density;
  for (const auto &lamination : shape.description().laminations)
    lamination_density.push_back(bow_case.bow.materials.at(lamination.material).density);
  for (const auto &line : shape.description().glue)
  {
    const auto adhesive = bow_case.bow.adhesives.find(line.adhesive);
    glue_density.push_back(adhesive == bow_case.bow.adhesives.end() || line.thickness <= 0. ? 0. : adhesive->second.density);
  }
  return shape.mass(lamination_density, glue_density);
}

std::string limb_text(const Case &bow_case, const LimbShape &shape, const std::string &which)
{
  const auto &limb = shape.description();
  auto text = fmt::format(
      "{}, stations along the back from the middle of the handle\n  leaves the handle at {}\n  string nock at       {}\n"
      "  tip at               {}\n",
      which, in_and_mm(limb.root_station, 2), in_and_mm(limb.nock.station, 2), in_and_mm(limb.tip_station, 2));
  const double mass = limb_mass(bow_case, shape);
  text += std::isfinite(mass) ? fmt::format("  weighs               {:.2f} oz ({:.0f} g)\n\n", mass / ounce_mass, mass * 1000.)
                              : std::string("  weight not known: a density is missing\n\n");
  return text + cut_list(shape) + corner_note(shape) + stack_table(bow_case, shape) + form_table(shape);
}
} // namespace

std::string derived_bow(const Case &bow_case)
{
  const auto &bow = bow_case.bow;
  const auto &lower = bow.lower ? *bow.lower : bow.upper;
  auto text = (bow_case.title.empty() ? bow_case.name : bow_case.title) + "\n\n";
  text += fmt::format("  nock to nock along the back   {}\n", in_and_mm(bow.upper.nock.station + lower.nock.station, 2));
  text += fmt::format("  tip to tip along the back     {}\n", in_and_mm(bow.upper.tip_station + lower.tip_station, 2));
  text += fmt::format("  brace height                  {}, pivot to string\n", in_and_mm(bow.brace_height, 2));
  text += fmt::format("  full draw                     {}, {}\n", in_and_mm(bow.full_draw + convention_offset(bow_case), 2),
                      convention_words(bow_case.convention));
  text += fmt::format("  thicknesses in the case file  {}\n\n",
                      bow_case.stack_includes_glue ? "were measured with glue; the tables are without unless they say so"
                                                   : "are without glue");
  text += limb_text(bow_case, LimbShape(bow.upper), bow.lower ? "Upper limb" : "Either limb");
  if (bow.lower)
    text += limb_text(bow_case, LimbShape(*bow.lower), "Lower limb");
  return text;
}
} // namespace limbwright
