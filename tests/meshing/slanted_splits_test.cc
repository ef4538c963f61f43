// Splits that slant across the width, in the shape and in the mesh of a solid.
#include "meshing/mesh/limb_mesh.h"
#include "meshing/shape/limb_shape.h"
#include "meshing/shape/splits.h"

#include "sample_limbs.h"

#include <deal.II/grid/grid_tools.h>

#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>

using namespace limbwright;
using namespace limbwright::sample;
using Catch::Contains;

namespace
{
Split slanting(double depth, double slant)
{
  Split split;
  split.lamination = 0;
  split.patch.from = 12. * inch;
  split.patch.to = 16. * inch;
  split.depth = depth * inch;
  split.slope = 0.01;
  split.slant = slant;
  return split;
}

double volume(const LimbDescription &limb)
{
  MeshSettings settings;
  settings.half_width = false;
  const LimbMesh<3> mesh(LimbShape(limb), settings);
  return dealii::GridTools::volume(mesh.triangulation(), mesh.mapping());
}
} // namespace

TEST_CASE("A slanting split is a plane about the limb's line, between faces that stay", "[quick]")
{
  LimbDescription limb = bamboo_backed();
  limb.laminations[0].bent_to_form = true;
  limb.section.belly_width_factor = 0.8; // sides that lean
  const double slant = GENERATE(8. * degree, -5. * degree);
  const LimbShape whole(limb), shape(divided(limb, {slanting(0.15, slant)}));
  CHECK_FALSE(shape.description().even_across());
  CHECK(whole.description().even_across());
  for (const double s : {12.5 * inch, 14. * inch, 15.5 * inch})
    for (const double across : {-1., -0.4, 0.3, 1.})
    {
      const auto under = shape.in_section(0, s, shape.back_face_depth(0, s), across);
      const auto over = shape.in_section(1, s, shape.belly_face_depth(1, s), across);
      const double middle = shape.back_face_depth(0, s);
      CHECK(under.depth == Approx(middle - std::tan(slant) * under.z).margin(1e-9));
      CHECK(over.depth == Approx(under.depth).margin(1e-15));
      CHECK(over.z == Approx(under.z).margin(1e-15));
      // The sides are those of the whole limb at that depth.
      CHECK(std::abs(under.z) == Approx(std::abs(across) * 0.5 * whole.width(s, under.depth)).margin(1e-9));
      // Belly face, back face, and what lies over them stay.
      CHECK(shape.in_section(0, s, shape.belly_face_depth(0, s), across).depth == shape.belly_face_depth(0, s));
      CHECK(shape.in_section(1, s, shape.back_face_depth(1, s), across).depth == shape.back_face_depth(1, s));
      CHECK(shape.slanted_depth(2, s, shape.belly_face_depth(2, s), across) == shape.belly_face_depth(2, s));
      // The wood is that of the depth where it lies.
      const double at = shape.slanted_depth(0, s, middle, across);
      CHECK(at == Approx(under.depth).margin(1e-15));
      CHECK(shape.prestrain(0, s, at) == Approx(whole.prestrain(0, s, at)).margin(1e-12));
    }
  // Beyond its end it goes on at the same share of the thickness.
  const auto share = [&](double s)
  {
    const double back = shape.back_face_depth(1, s);
    return (shape.in_section(0, s, shape.back_face_depth(0, s), 1.).depth - back) / (shape.belly_face_depth(0, s) - back);
  };
  CHECK(share(25. * inch) == Approx(share(16. * inch)).epsilon(1e-9));
  CHECK(share(6. * inch) == Approx(share(12. * inch)).epsilon(1e-9));
}

TEST_CASE("The pieces of a slanting split fill the lamination", "[quick]")
{
  for (const bool crowned : {false, true})
  {
    LimbDescription limb = bamboo_backed();
    if (crowned)
      limb.section.belly = ArcFace{0., 0.06 * inch};
    else
      limb.section.belly_width_factor = 0.9; // not both: z is that of the depth before the face has fallen
    const double square = volume(divided(limb, {slanting(0.15, 0.)}));
    // The split turns about the middle of the width: what one piece takes the other gives.
    CHECK(volume(divided(limb, {slanting(0.15, 6. * degree)})) == Approx(square).epsilon(1e-7));
    CHECK(volume(divided(limb, {slanting(0.15, 6. * degree)})) ==
          Approx(volume(divided(limb, {slanting(0.15, -6. * degree)}))).epsilon(1e-9));
  }
}

TEST_CASE("A split that slants too steeply, or not alone, is refused", "[quick]")
{
  const auto message = [](const std::vector<Split> &splits)
  {
    try
    {
      divided(bamboo_backed(), splits);
    }
    catch (const std::invalid_argument &unfit)
    {
      return std::string(unfit.what());
    }
    return std::string();
  };
  CHECK(message({slanting(0.15, 10. * degree)}).empty());
  CHECK_THAT(message({slanting(0.15, 16. * degree)}), Contains("slants so steeply") && Contains("there is room for"));
  CHECK_THAT(message({slanting(0.15, -16. * degree)}), Contains("slants so steeply"));
  CHECK_THAT(message({slanting(0.04, 10. * degree)}), Contains("a depth nearer the middle"));
  Split other = slanting(0.25, 0.);
  other.slope = 0.;
  CHECK_THAT(message({slanting(0.1, 3. * degree), other}), Contains("cannot hold another one"));
  other.lamination = 1;
  other.depth = 0.04 * inch;
  CHECK(message({slanting(0.1, 3. * degree), other}).empty());
  Split out = slanting(0.06, 5. * degree);
  out.lamination = 1;
  out.comes_out = SplitExit::back;
  CHECK_THAT(message({out}), Contains("cannot slant"));
}
