#include "cases/app/picture_canvas.h"
#include "cases/app/picture_views.h"

#include <fmt/core.h>

#include <vtkActor.h>
#include <vtkCellArray.h>
#include <vtkPointData.h>
#include <vtkPoints.h>
#include <vtkPolyData.h>
#include <vtkPolyDataMapper.h>
#include <vtkProperty.h>
#include <vtkUnsignedCharArray.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>

namespace limbwright::picture
{
namespace
{
constexpr int picture_width = 2000, margin_left = 150, margin_right = 70, head = 250, foot = 290, letters = 38;
constexpr double magnification = 5.;

// The bow lies on its side: the tip to the right, the target above. Inches of the bow's frame to pixels.
struct Frame
{
  double scale;   // [pixel/in]
  double x_start; // [in] at the lower edge of the drawing
  Place at(double x, double y) const { return {margin_left + scale * y, foot + scale * (x - x_start)}; }
  Place at(const std::array<double, 2> &place) const { return at(place[0], place[1]); }
};

constexpr Colour failing = {0.62, 0.0, 0.42};

// What the limb is coloured by.
struct Colouring
{
  bool by_index = false; // else by strain
  double range = 1.;     // [%] strain at the ends of the colour bar

  Colour of(const LimbFields &fields, std::size_t node) const
  {
    if (!by_index)
      return diverging(fields.strain[node] / range);
    return fields.index[node] >= 1. ? failing : diverging(fields.index[node]);
  }
};

// The cells, each as its four quarters, coloured or in one colour.
vtkSmartPointer<vtkPolyData> surface(const LimbFields &fields, const Frame &frame, const Colouring &colouring,
                                     std::optional<Colour> plain)
{
  vtkNew<vtkPoints> points;
  vtkNew<vtkUnsignedCharArray> colours;
  colours->SetNumberOfComponents(3);
  for (std::size_t i = 0; i < fields.places.size(); ++i)
  {
    const Place place = frame.at(fields.places[i]);
    points->InsertNextPoint(place[0], place[1], 0.);
    const Colour colour = plain.value_or(colouring.of(fields, i));
    for (const double c : colour)
      colours->InsertNextValue(static_cast<unsigned char>(std::lround(255. * c)));
  }
  vtkNew<vtkCellArray> quarters;
  static constexpr int quarter[4][4] = {{0, 4, 8, 7}, {4, 1, 5, 8}, {8, 5, 2, 6}, {7, 8, 6, 3}};
  for (const auto &cell : fields.cells)
    for (const auto &corners : quarter)
    {
      quarters->InsertNextCell(4);
      for (const int corner : corners)
        quarters->InsertCellPoint(cell[corner]);
    }
  auto result = vtkSmartPointer<vtkPolyData>::New();
  result->SetPoints(points);
  result->SetPolys(quarters);
  result->GetPointData()->SetScalars(colours);
  return result;
}

// Faces of the laminations: the belly and back edges of cells (VTK's nodes 0 7 3 and 1 5 2) that no other cell shares.
vtkSmartPointer<vtkPolyData> faces(const LimbFields &fields, const Frame &frame)
{
  static constexpr int edge[2][3] = {{0, 7, 3}, {1, 5, 2}};
  std::map<long long, int> cells_at; // by the edge's middle node
  for (const auto &cell : fields.cells)
    for (const auto &nodes : edge)
      ++cells_at[cell[nodes[1]]];
  vtkNew<vtkPoints> points;
  for (const auto &place : fields.places)
  {
    const Place p = frame.at(place);
    points->InsertNextPoint(p[0], p[1], 1.);
  }
  vtkNew<vtkCellArray> lines;
  for (const auto &cell : fields.cells)
    for (const auto &nodes : edge)
      if (cells_at.at(cell[nodes[1]]) == 1)
      {
        lines->InsertNextCell(3);
        for (const int node : nodes)
          lines->InsertCellPoint(cell[node]);
      }
  auto result = vtkSmartPointer<vtkPolyData>::New();
  result->SetPoints(points);
  result->SetLines(lines);
  return result;
}

void show(vtkRenderer &view, vtkPolyData *shape, std::optional<Colour> lines = {}, double thickness = 1.)
{
  vtkNew<vtkPolyDataMapper> mapper;
  mapper->SetInputData(shape);
  vtkNew<vtkActor> actor;
  actor->SetMapper(mapper);
  actor->GetProperty()->LightingOff();
  if (lines)
  {
    mapper->ScalarVisibilityOff();
    actor->GetProperty()->SetColor((*lines)[0], (*lines)[1], (*lines)[2]);
    actor->GetProperty()->SetLineWidth(static_cast<float>(thickness));
  }
  view.AddActor(actor);
}

// Largest strain, up to the next tenth of a per cent.
double strain_range(const LimbFields &fields)
{
  double largest = 0.;
  for (const double strain : fields.strain)
    largest = std::max(largest, std::abs(strain));
  return std::max(0.1, std::ceil(largest * 10. - 1e-6) / 10.);
}

// Where the belly is pressed hardest or the index is greatest.
std::size_t worst_node(const LimbFields &fields, const Colouring &colouring)
{
  const auto bad = [&](std::size_t i) { return colouring.by_index ? fields.index[i] : -fields.strain[i]; };
  std::size_t worst = 0;
  for (std::size_t i = 0; i < fields.strain.size(); ++i)
    if (bad(i) > bad(worst))
      worst = i;
  return worst;
}

void draw_rulers(Canvas &canvas, const Frame &frame, double x_end, double y_end)
{
  const double top = frame.at(x_end, 0.)[1] + 40.;
  canvas.line({{frame.at(0., 0.)[0], top}, {frame.at(0., y_end)[0], top}}, ink, 2.);
  for (int inch = 0; inch <= static_cast<int>(y_end); ++inch)
  {
    const double at = frame.at(0., inch)[0];
    canvas.line({{at, top}, {at, top + (inch % 5 == 0 ? 22. : 11.)}}, ink, 2.);
    if (inch % 5 == 0)
      canvas.text({at, top + 45.}, fmt::format("{}", inch), letters, Align::centre);
  }
  canvas.text({frame.at(0., y_end)[0], top + 90.}, "inches from center", letters, Align::right);
  const double left = margin_left - 50.;
  const int deepest = static_cast<int>(-frame.x_start);
  canvas.line({{left, frame.at(0., 0.)[1]}, {left, frame.at(-deepest, 0.)[1]}}, ink, 2.);
  for (int inch = 0; inch <= deepest; ++inch)
  {
    const double at = frame.at(-inch, 0.)[1];
    canvas.line({{left, at}, {left - (inch % 5 == 0 ? 22. : 11.), at}}, ink, 2.);
    if (inch % 5 == 0)
      canvas.text({left - 30., at}, fmt::format("{}", inch), letters, Align::right);
  }
}

void draw_strings(Canvas &canvas, const Frame &frame, const ResultsData &data)
{
  const auto string = [&](const StringPlace &place) {
    canvas.line({frame.at(-place.draw, 0.), frame.at(place.tip_x, place.tip_y)}, {0.35, 0.35, 0.38}, 3.);
  };
  string(data.string_braced);
  string(data.string_drawn);
  const auto label = [&](const StringPlace &place, double share, const std::string &words)
  {
    const Place a = frame.at(-place.draw, 0.), b = frame.at(place.tip_x, place.tip_y);
    const double angle = std::atan2(b[1] - a[1], b[0] - a[0]);
    const Place middle = {std::lerp(a[0], b[0], share), std::lerp(a[1], b[1], share)};
    canvas.text({middle[0] - 32. * std::sin(angle), middle[1] + 32. * std::cos(angle)}, words, letters, Align::centre, ink,
                angle * 180. / M_PI);
  };
  label(data.string_braced, 0.4, fmt::format("braced, string {:.2f} in from the throat of the grip", data.brace_height));
  label(data.string_drawn, 0.45, fmt::format("full draw, {:.1f} lb at {:.1f} in", data.draw_weight, data.draw_told));
  const auto &tip = data.unstrung.places.back();
  canvas.text(frame.at(tip[0] - 1., tip[1]), "unstrung", letters, Align::right);
  const Place grip = frame.at(0., 0.);
  canvas.line({{grip[0] - 12., grip[1]}, {grip[0] + 12., grip[1]}}, ink, 3.);
  canvas.line({{grip[0], grip[1] - 12.}, {grip[0], grip[1] + 12.}}, ink, 3.);
  canvas.text({grip[0] + 25., grip[1] - 25.}, "throat of the grip", letters);
}

void draw_colour_bar(Canvas &canvas, const Colouring &colouring)
{
  const double left = margin_left, length = 800., bottom = 95., height = 40., first = colouring.by_index ? 0. : -1.;
  constexpr int n = 160;
  for (int i = 0; i < n; ++i)
    canvas.rectangle({left + length * i / n, bottom}, {left + length * (i + 1) / n + 1., bottom + height},
                     diverging(std::lerp(first, 1., (i + 0.5) / n)));
  for (int i = 0; i <= 4; ++i)
  {
    const double at = left + length * i / 4., value = std::lerp(first, 1., i / 4.) * (colouring.by_index ? 1. : colouring.range);
    canvas.line({{at, bottom}, {at, bottom - 12.}}, ink, 2.);
    canvas.text({at, bottom - 38.},
                value == 0.          ? "0"
                : colouring.by_index ? fmt::format("{:.0f} %", 100. * value)
                                     : fmt::format("{:+.2f} %", value),
                letters, Align::centre);
  }
  if (colouring.by_index)
  {
    canvas.rectangle({left + length, bottom}, {left + length + 60., bottom + height}, failing);
    canvas.line({{left + length, bottom - 12.}, {left + length, bottom + height + 12.}}, ink, 4.);
    canvas.text({left, bottom + height + 82.}, "% of strength used", letters);
    canvas.text({left, bottom + height + 32.}, "purple, over 100 %: fails", letters);
    return;
  }
  canvas.text({left, bottom + height + 32.}, "compression", letters);
  canvas.text({left + length / 2., bottom + height + 82.}, "strain along the grain", letters, Align::centre);
  canvas.text({left + length, bottom + height + 32.}, "tension", letters, Align::right);
}

void draw_scale_bars(Canvas &canvas, const Frame &frame)
{
  const double right = picture_width - margin_right;
  const auto bar = [&](double inches, double height, const std::string &words)
  {
    canvas.line({{right - frame.scale * inches, height}, {right, height}}, ink, 6.);
    canvas.text({right - frame.scale * inches - 20., height}, words, letters, Align::right);
  };
  bar(4., 130., "4 in");
  bar(100. / 25.4, 70., "100 mm");
}

// The worst place at full draw, larger, with the faces of the laminations.
void draw_lens(Canvas &canvas, const Frame &frame, const ResultsData &data, vtkPolyData *drawn, const Colouring &colouring)
{
  const std::size_t node = worst_node(data.drawn, colouring);
  const Place centre = frame.at(data.drawn.places[node]);
  const double right = picture_width - margin_right, width = 760., height = 430., bottom = foot - 60.;
  const Place corner = {right - width, bottom}, opposite = {right, bottom + height};
  const auto view = canvas.lens(corner, opposite, centre, magnification);
  show(*view, drawn);
  show(*view, faces(data.drawn, frame), ink, 1.5);
  const auto outline = [&](Place a, Place b, double thickness) {
    canvas.line({a, {b[0], a[1]}, b, {a[0], b[1]}, a}, ink, thickness);
  };
  outline(corner, opposite, 3.);
  const double half_width = width / 2. / magnification, half_height = height / 2. / magnification;
  outline({centre[0] - half_width, centre[1] - half_height}, {centre[0] + half_width, centre[1] + half_height}, 2.);
  canvas.text({right, opposite[1] + 75.},
              fmt::format("{:.0f} times larger, {:.1f} in from center:", magnification, data.drawn.station[node]), letters,
              Align::right);
  canvas.text({right, opposite[1] + 30.},
              colouring.by_index ? fmt::format("hardest worked, {:.0f} %", 100. * data.drawn.index[node])
                                 : "where belly compression is highest",
              letters, Align::right);
}
void draw_limb(const ResultsData &data, const Colouring &colouring, const std::filesystem::path &file)
{
  double x_low = -data.string_drawn.draw, x_high = 0., y_high = 0.;
  for (const LimbFields *fields : {&data.unstrung, &data.braced, &data.drawn})
    for (const auto &[x, y] : fields->places)
    {
      x_low = std::min(x_low, x);
      x_high = std::max(x_high, x);
      y_high = std::max(y_high, y);
    }
  const double y_end = std::ceil(y_high);
  const Frame frame = {(picture_width - margin_left - margin_right) / y_end, std::floor(x_low - 0.2)};
  Canvas canvas(picture_width, static_cast<int>(foot + head + frame.scale * (x_high - frame.x_start)));

  const auto drawn = surface(data.drawn, frame, colouring, {});
  show(canvas.shapes(), surface(data.unstrung, frame, colouring, Colour{0.62, 0.62, 0.64}));
  show(canvas.shapes(), surface(data.braced, frame, colouring, {}));
  show(canvas.shapes(), drawn);

  canvas.text({margin_left, canvas.height() - 50.}, data.title, letters + 8);
  draw_rulers(canvas, frame, x_high, y_end);
  draw_strings(canvas, frame, data);
  draw_lens(canvas, frame, data, drawn, colouring);
  draw_colour_bar(canvas, colouring);
  draw_scale_bars(canvas, frame);
  canvas.write(file);
}
} // namespace

void draw_bow_picture(const ResultsData &data, const std::filesystem::path &file)
{
  draw_limb(data, {false, strain_range(data.drawn)}, file);
}

void draw_index_picture(const ResultsData &data, const std::filesystem::path &file)
{
  draw_limb(data, {.by_index = true, .range = 1.}, file);
}
} // namespace limbwright::picture
