// One lateral coordinate: z, positive to the archer's right in both limbs.
#include "support/bodies.h"
#include "support/check_table.h"
#include "support/solid_mesh.h"
#include <Eigen/Geometry>

#include <Eigen/Geometry>

#include <Eigen/Geometry>

using namespace limbwright;
using namespace limbwright::checks;

namespace
{
constexpr double length = 0.3, width = 40e-3, from_middle = 10e-3;

// Two layers, a hole in the one and a dry patch in the glue, both off the middle by the same length.
LimbDescription flawed_bar()
{
  LimbDescription bar = straight_bar(length, 6e-3, width);
  bar.laminations = {full_lamination("elastic", 5e-3, 0., length), full_lamination("elastic", 1e-3, 0., length)};
  bar.glue = {{"glue", 0.1e-3, 0.}};
  GluePatch patch;
  patch.from = 0.14;
  patch.to = 0.16;
  patch.width_share = 0.25;
  patch.across = from_middle;
  bar.glue[0].patches = {patch};
  Knot hole;
  hole.station = 0.2;
  hole.diameter = 8e-3;
  hole.off_centre = from_middle;
  hole.state = KnotState::hole;
  bar.weak.knots = {hole};
  return bar;
}
} // namespace

TEST_CASE("A knot and a patch off the middle by the same length lie on the same side, the archer's right", "[quick]")
{
  // With x toward the target and y up the archer's right is x cross y.
  const Eigen::Vector3d right = Eigen::Vector3d::UnitX().cross(Eigen::Vector3d::UnitY());
  const LimbDescription bar = flawed_bar();
  const std::map<std::string, Material> materials{{"elastic", elastic_material(10e9, 1e9)}};
  Adhesive glue;
  glue.youngs_modulus = 3e9;
  glue.shear_modulus = 1.1e9;
  const std::map<std::string, Adhesive> adhesives{{"glue", glue}};
  MeshSettings settings = solid_mesh(bar, 30, 1, 8, false);
  SolidBody body(bar, settings, materials, adhesives);

  // [m] how far to the right the open elements and the hole's nodes lie, in the mean.
  const auto to_the_right = [&](const std::array<double, 3> &place)
  { return right.dot(Eigen::Map<const Eigen::Vector3d>(place.data())); };
  double patch = 0., hole = 0.;
  int n_patch = 0, n_hole = 0;
  for (const auto &element : body.solid.glue())
    if (element.open)
    {
      patch += to_the_right(body.solid.nodes()[element.belly_nodes[4]].place);
      ++n_patch;
    }
  for (int node = 0; node < static_cast<int>(body.solid.nodes().size()); ++node)
    if (const auto *parts = body.solid.weak_parts_at(node); parts != nullptr && parts->front().strip.knot == 0)
    {
      hole += to_the_right(body.solid.nodes()[node].place);
      ++n_hole;
    }
  REQUIRE(n_patch > 0);
  REQUIRE(n_hole > 0);
  CheckTable table("Knot and patch 10 mm to the archer's right", "where they were put");
  table.absolute("middle of the patch [m]", patch / n_patch, from_middle, 1e-3);
  table.absolute("middle of the hole [m]", hole / n_hole, from_middle, 1e-3);
}
