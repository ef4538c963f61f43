#pragma once

#include <vtkContext2D.h>
#include <vtkNew.h>
#include <vtkRenderWindow.h>
#include <vtkRenderer.h>
#include <vtkSmartPointer.h>

#include <array>
#include <filesystem>
#include <functional>
#include <string>
#include <vector>

namespace limbwright::picture
{
using Colour = std::array<double, 3>; // red, green, blue [1]
using Place = std::array<double, 2>;  // [pixel] from the lower left corner

inline constexpr Colour ink = {0.13, 0.13, 0.15}, pale = {0.82, 0.82, 0.84}, white = {1., 1., 1.};

/// Blue where the strain is compression, orange to brown where it is tension, light between: told apart in every common kind
/// of colour blindness, since lightness falls on both sides and blue and orange stay apart. value between -1 and 1.
Colour diverging(double value);

enum class Align
{
  left,
  centre,
  right
};

/// A picture of a given size. Its own renderer and the lines and texts above it share one system of coordinates: pixels.
class Canvas
{
public:
  Canvas(int width, int height);

  int width() const { return size[0]; }
  int height() const { return size[1]; }

  /// Shapes below the lines and texts.
  vtkRenderer &shapes() { return *renderer; }
  /// A window within the picture, magnified about a place of shapes().
  vtkSmartPointer<vtkRenderer> lens(Place corner, Place opposite, Place centre, double magnification);

  void line(const std::vector<Place> &places, Colour colour, double thickness);
  void rectangle(Place corner, Place opposite, Colour fill);
  /// Turned counter-clockwise by an angle [deg].
  void text(Place place, const std::string &words, int height, Align align = Align::left, Colour colour = ink, double angle = 0.);

  /// Throws std::runtime_error when the file cannot be written.
  void write(const std::filesystem::path &file);

private:
  std::array<int, 2> size;
  vtkNew<vtkRenderWindow> window;
  vtkNew<vtkRenderer> renderer;
  std::vector<std::function<void(vtkContext2D &)>> strokes;
};
} // namespace limbwright::picture
