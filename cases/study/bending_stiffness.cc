#include "cases/study/bending_stiffness.h"

#include "meshing/shape/limb_shape.h"

namespace limbwright
{
namespace
{
/// [N m2] bending stiffness of the section about its own neutral axis.
double section_stiffness(const LimbShape &shape, const std::map<std::string, Material> &materials, double station)
{
  double EA = 0., ES = 0., EI = 0.;
  for (std::size_t i = 0; i < shape.n_laminations(); ++i)
  {
    if (!shape.present(i, station))
      continue;
    const double E = materials.at(shape.description().laminations[i].material).constants.E_L;
    const double thickness = shape.thickness(i, station);
    const double middle = shape.back_face_depth(i, station) + 0.5 * thickness;
    const double area = E * thickness * shape.width(station, middle);
    EA += area;
    ES += area * middle;
    EI += area * (middle * middle + thickness * thickness / 12.);
  }
  return EI - ES * ES / EA;
}
} // namespace

double bending_compliance(const LimbDescription &limb, const std::map<std::string, Material> &materials)
{
  constexpr int n_sections = 100;
  const LimbShape shape(limb);
  const double step = (limb.nock.station - limb.root_station) / n_sections;
  double sum = 0.;
  for (int i = 0; i < n_sections; ++i)
  {
    const double station = limb.root_station + (i + 0.5) * step, lever = limb.nock.station - station;
    sum += lever * lever / section_stiffness(shape, materials, station) * step;
  }
  return sum;
}
} // namespace limbwright
