#include "meshing/mesh/limb_mesh.h"

#include "sample_limbs.h"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>

using namespace limbwright;
using namespace limbwright::sample;

namespace
{
/// The glass longbow held 4 in from the middle, with a riser under the power lamination that feathers out 8 in from it; its belly
/// face slopes by up to 31 degrees.
LimbDescription longbow_with_riser()
{
  LimbDescription limb = glass_longbow();
  limb.root_station = 4. * inch;
  limb.root_back_x = 1.959 * inch;
  limb.root_back_y = 4. * inch;
  limb.profile.lean = table(0., degree, {{4., 0.}, {8., -6.}, {13., -4.5}, {21., 3.}, {30.5, 11.}});
  for (LaminationDescription &strip : limb.laminations)
    if (strip.start == 8. * inch)
      strip.start = limb.root_station;
  LaminationDescription riser =
      lamination("riser", table(0., inch, {{4., 1.622}, {5., 1.02}, {6., 0.46}, {7., 0.13}, {8., 0.005}}), 4. * inch, 8. * inch);
  riser.grain = GrainDirection::along_handle;
  limb.laminations.insert(limb.laminations.begin() + 2, riser);
  limb.glue.push_back({"epoxy", 0.1e-3, 0.});
  return limb;
}
} // namespace

TEST_CASE("The grain of a riser stays along the handle, that of the strips over it does not", "[quick]")
{
  LimbDescription limb = longbow_with_riser();
  limb.laminations[2].run_out = StationTable::constant(0.02);
  const LimbShape shape(limb);
  for (const double s : {4.2 * inch, 5.5 * inch, 6.5 * inch, 7.9 * inch})
  {
    CHECK(shape.grain_lean(2, s) == 0.02);
    CHECK(shape.grain_lean(7, s) == Approx(shape.lean(s)).epsilon(0.01));
  }
  // The belly strips rise toward the tip over the fade, by the slope of the riser's belly against the back.
  const double curvature = -6. * degree / (4. * inch), depth = shape.belly_face_depth(2, 5.5 * inch);
  CHECK(shape.grain_lean(0, 5.5 * inch) ==
        Approx(shape.lean(5.5 * inch) + std::atan(0.56 / (1. + depth * curvature))).epsilon(0.01));
}

TEST_CASE("A riser is meshed down to its feather without slivers", "[quick]")
{
  const LimbMesh<2> mesh(LimbShape(longbow_with_riser()), MeshSettings{});
  const LimbShape &shape = mesh.shape();
  CHECK(shape.end(2) == Approx(8. * inch).margin(same_station));

  // Angles between the sides at the corners of every cell: the fade's slope tilts them, nothing else does.
  double least = 90., flattest = 0.;
  int n_riser = 0;
  for (const auto &cell : mesh.triangulation().active_cell_iterators())
  {
    constexpr unsigned int around[4] = {0, 1, 3, 2};
    for (unsigned int i = 0; i < 4; ++i)
    {
      const auto a = cell->vertex(around[(i + 1) % 4]) - cell->vertex(around[i]);
      const auto b = cell->vertex(around[(i + 3) % 4]) - cell->vertex(around[i]);
      const double angle = std::acos(std::clamp(a * b / (a.norm() * b.norm()), -1., 1.)) / degree;
      least = std::min({least, angle, 180. - angle});
    }
    n_riser += cell->material_id() == 2;
    if (cell->material_id() == 2)
    {
      const double across = (cell->vertex(1) - cell->vertex(0)).norm(), along = (cell->vertex(2) - cell->vertex(0)).norm();
      flattest = std::max({flattest, along / across, across / along});
    }
  }
  CHECK(least > 55.);
  CHECK(least < 60.); // atan(0.602) = 31 degrees
  CHECK(flattest < 60.);
  CHECK(mesh.places()[2].n_rows <= 8);
  CHECK(n_riser > 100);

  // Both lines beside it are there: the belly-side one from the root on, the other to the feather, none of them beyond.
  double last = 0.;
  for (const auto &face : mesh.glue_faces())
    if (face.line == 2)
      last = std::max(last, mesh.column_stations()[static_cast<std::size_t>(face.column) + 1]);
  CHECK(last == Approx(shape.end(2)));
}
