#include "cases/app/picture_canvas.h"

#include <vtkBrush.h>
#include <vtkCamera.h>
#include <vtkContextActor.h>
#include <vtkContextItem.h>
#include <vtkContextScene.h>
#include <vtkObjectFactory.h>
#include <vtkPNGWriter.h>
#include <vtkPen.h>
#include <vtkTextProperty.h>
#include <vtkWindowToImageFilter.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace limbwright::picture
{
namespace
{
// Draws what the canvas noted.
class Strokes : public vtkContextItem
{
public:
  vtkTypeMacro(Strokes, vtkContextItem) static Strokes *New();
  bool Paint(vtkContext2D *painter) override
  {
    for (const auto &stroke : *list)
      stroke(*painter);
    return true;
  }
  const std::vector<std::function<void(vtkContext2D &)>> *list = nullptr;
};
vtkStandardNewMacro(Strokes)

    void look_at(vtkRenderer &view, Place centre, double half_height)
{
  vtkCamera &camera = *view.GetActiveCamera();
  camera.ParallelProjectionOn();
  camera.SetFocalPoint(centre[0], centre[1], 0.);
  camera.SetPosition(centre[0], centre[1], 100.);
  camera.SetViewUp(0., 1., 0.);
  camera.SetClippingRange(1., 200.);
  camera.SetParallelScale(half_height);
}
} // namespace

Colour diverging(double value)
{
  static constexpr std::array<Colour, 7> knots = {{{0.03, 0.16, 0.40},
                                                   {0.13, 0.40, 0.72},
                                                   {0.52, 0.74, 0.91},
                                                   {0.93, 0.93, 0.91},
                                                   {0.98, 0.72, 0.38},
                                                   {0.80, 0.39, 0.05},
                                                   {0.42, 0.17, 0.02}}};
  const double at = (std::clamp(value, -1., 1.) + 1.) / 2. * (knots.size() - 1.);
  const auto below = std::min(static_cast<std::size_t>(at), knots.size() - 2);
  Colour colour;
  for (int c = 0; c < 3; ++c)
    colour[c] = std::lerp(knots[below][c], knots[below + 1][c], at - static_cast<double>(below));
  return colour;
}

Canvas::Canvas(int width, int height) : size{width, height}
{
  window->SetOffScreenRendering(1);
  window->SetMultiSamples(8);
  window->SetSize(width, height);
  renderer->SetBackground(1., 1., 1.);
  window->AddRenderer(renderer);
  look_at(*renderer, {width / 2., height / 2.}, height / 2.);
}

vtkSmartPointer<vtkRenderer> Canvas::lens(Place corner, Place opposite, Place centre, double magnification)
{
  auto view = vtkSmartPointer<vtkRenderer>::New();
  view->SetViewport(corner[0] / size[0], corner[1] / size[1], opposite[0] / size[0], opposite[1] / size[1]);
  view->SetBackground(1., 1., 1.);
  window->AddRenderer(view);
  look_at(*view, centre, (opposite[1] - corner[1]) / 2. / magnification);
  return view;
}

void Canvas::line(const std::vector<Place> &places, Colour colour, double thickness)
{
  strokes.push_back(
      [=](vtkContext2D &painter)
      {
        painter.GetPen()->SetColorF(colour[0], colour[1], colour[2]);
        painter.GetPen()->SetWidth(static_cast<float>(thickness));
        painter.GetPen()->SetLineType(vtkPen::SOLID_LINE);
        std::vector<float> flat;
        for (const Place &place : places)
        {
          flat.push_back(static_cast<float>(place[0]));
          flat.push_back(static_cast<float>(place[1]));
        }
        painter.DrawPoly(flat.data(), static_cast<int>(places.size()));
      });
}

void Canvas::rectangle(Place corner, Place opposite, Colour fill)
{
  strokes.push_back(
      [=](vtkContext2D &painter)
      {
        painter.GetPen()->SetLineType(vtkPen::NO_PEN);
        painter.GetBrush()->SetColorF(fill[0], fill[1], fill[2]);
        painter.DrawRect(static_cast<float>(corner[0]), static_cast<float>(corner[1]),
                         static_cast<float>(opposite[0] - corner[0]), static_cast<float>(opposite[1] - corner[1]));
      });
}

void Canvas::text(Place place, const std::string &words, int height, Align align, Colour colour, double angle)
{
  strokes.push_back(
      [=](vtkContext2D &painter)
      {
        vtkTextProperty &style = *painter.GetTextProp();
        style.SetFontFamilyToArial();
        style.SetFontSize(height);
        style.SetColor(colour[0], colour[1], colour[2]);
        style.SetOrientation(angle);
        style.SetJustification(align == Align::left     ? VTK_TEXT_LEFT
                               : align == Align::centre ? VTK_TEXT_CENTERED
                                                        : VTK_TEXT_RIGHT);
        style.SetVerticalJustificationToCentered();
        // Between two pixels, a text's upper edge would show again below it.
        painter.DrawString(std::round(static_cast<float>(place[0])), std::round(static_cast<float>(place[1])), words.c_str());
      });
}

void Canvas::write(const std::filesystem::path &file)
{
  // Lines and texts lie in a layer of their own, above every lens.
  vtkNew<vtkRenderer> top;
  vtkNew<vtkContextActor> actor;
  vtkNew<Strokes> item;
  item->list = &strokes;
  actor->GetScene()->AddItem(item);
  window->SetNumberOfLayers(2);
  top->SetLayer(1);
  window->AddRenderer(top);
  top->AddActor(actor);
  actor->GetScene()->SetRenderer(top);
  window->Render();

  vtkNew<vtkWindowToImageFilter> image;
  image->SetInput(window);
  image->SetInputBufferTypeToRGB();
  image->ReadFrontBufferOff();
  vtkNew<vtkPNGWriter> writer;
  writer->SetFileName(file.c_str());
  writer->SetInputConnection(image->GetOutputPort());
  writer->Write();
  if (writer->GetErrorCode() != 0)
    throw std::runtime_error("cannot write " + file.string());
}
} // namespace limbwright::picture
