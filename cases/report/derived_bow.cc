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

/// "0.443 at 4.5, 0.378 at 19.5" for a piece that is not one straight taper; empty otherwise.
std::string knots(const StationTable &thickness, double start, double end)
{
  std::string text;
  int n_inside = 0;
  for (std::size_t i = 0; i < thickness.station.size(); ++i)
    if (thickness.station[i] > start + 1e-6 && thickness.station[i] < end - 1e-6)
    {
      text += fmt::format(", {:.3f} at {:.2f}", thickness.value[i] / inch, thickness.station[i] / inch);
      ++n_inside;
    }
  if (n_inside == 0)
    return {};
  return wrapped(fmt::format("      not one taper (in thick at in from center): {1:.3f} at {0:.2f}{2}, {4:.3f} at {3:.2f}",
                             start / inch, thickness.at(start) / inch, text, end / inch, thickness.at(end) / inch),
                 8) +
         "\n";
}

std::string end_words(const LimbShape &shape, std::size_t i, double start, double end)
{
  const auto &limb = shape.description();
  const auto &lamination = limb.laminations[i];
  std::string text;
  const auto tell = [&](const char *which, double station)
  {
    const double thickness = shape.thickness(i, station) / inch;
    text += fmt::format("      {} {:.2f} in from center, ", which, station / inch);
    if (lamination.bevel > 0.)
      text += fmt::format("{:.3f} in thick, beveled over {:.2f} in to {:.3f} in", thickness, lamination.bevel / inch,
                          lamination.feather / inch);
    else if (thickness * inch <= 1.01 * lamination.feather)
      text += fmt::format("feathered to {:.3f} in", thickness);
    else
      text += fmt::format("square, {:.3f} in thick", thickness);
    if (shape.pocket_length(i) > 0.)
      text += fmt::format("; {:.2f} in glue wedge behind it", shape.pocket_length(i) / inch);
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
  auto text = fmt::format("Cut list, belly to back, one limb, from the end of the handle (glue not counted)\n"
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
  return wrapped("  Corners (where a thickness, the width or the side profile turns sharply), in from center: " + stations +
                     ". Strain concentrates there.",
                 2) +
         "\n\n";
}

std::string stack_table(const Case &bow_case, const LimbShape &shape)
{
  std::string text = "Width and stack (in), at inches from center. 'No glass' leaves out every layer of fiber and resin.\n";
  text += fmt::format("  {:>9}{:>9} |{:>11}{:>11} |{:>11}{:>11} |{:>11}\n", "at", "width", "all,", "all,", "no glass,",
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
  auto text = fmt::format("Form profile under the back (no springback allowance, no tip overlays).\n"
                          "'At' is inches from center along the back; 'along' is the straight distance from center,\nacross the "
                          "line of the arrow; 'offset' is from the back where the limb leaves the handle,\n"
                          "reflex +. 'Angle' is that of the back, reflex +.\n  {:>9}{:>11}{:>11}{:>12}{:>12}{:>12}\n",
                          "at", "along, in", "offset, in", "along, mm", "offset, mm", "angle, deg");
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
  auto text =
      fmt::format("{}: distances from center, along the back\n  leaves the handle at {}\n  string nock at       {}\n"
                  "  tip at               {}\n",
                  which, in_and_mm(limb.root_station, 2), in_and_mm(limb.nock.station, 2), in_and_mm(limb.tip_station, 2));
  const double mass = limb_mass(bow_case, shape);
  text += std::isfinite(mass) ? fmt::format("  weighs               {:.2f} oz ({:.0f} g)\n\n", mass / ounce_mass, mass * 1000.)
                              : std::string("  weight not known (a density is missing)\n\n");
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
  text += fmt::format("  brace height                  {}, throat of the grip to string\n", in_and_mm(bow.brace_height, 2));
  text += fmt::format("  full draw                     {}, {}\n", in_and_mm(bow.full_draw + convention_offset(bow_case), 2),
                      convention_words(bow_case.convention));
  text +=
      fmt::format("  thicknesses in the bow file   {}\n\n",
                  bow_case.stack_includes_glue ? "include glue; the tables leave it out unless they say so" : "leave out glue");
  text += limb_text(bow_case, LimbShape(bow.upper), bow.lower ? "Upper limb" : "Both limbs");
  if (bow.lower)
    text += limb_text(bow_case, LimbShape(*bow.lower), "Lower limb");
  return text;
}
} // namespace limbwright
