// What the ends and sides of an open patch would release, of displacements that are given.
#include "solver/failure/energy_release.h"
#include "support/bodies.h"
#include "support/solid_mesh.h"

using namespace limbwright;
using namespace limbwright::checks;

namespace
{
constexpr double length = 0.2, from = 0.06, to = 0.13, E = 3e9, G = 1.1e9;

// Two layers, and a patch between them whose ends have columns of unlike lengths on either side.
LimbDescription layers(double glue, double gap, double width_share)
{
  LimbDescription limb = straight_bar(length, 8e-3 + glue, 20e-3);
  limb.laminations.assign(2, full_lamination("wood", 4e-3, 0., length));
  limb.glue.assign(1, {"glue", glue, 0.});
  limb.glue[0].patches = {{from, to, 0., width_share, gap}};
  return limb;
}

template <int dim>
std::vector<PatchEnd> ends_of(const LimbDescription &limb, double opening, double slip)
{
  MeshSettings settings = solid_mesh(limb, 10, 1, 4, false);
  settings.fine_zones = {{to, length, 4e-3}};
  Adhesive glue;
  glue.youngs_modulus = E;
  glue.shear_modulus = G;
  BodyOf<dim> body(limb, settings, {{"wood", elastic_material(12e9, 1e9, 0.3)}}, {{"glue", glue}});
  const auto &nodes = body.solid.nodes();
  Eigen::VectorXd u = Eigen::VectorXd::Zero(dim * static_cast<Eigen::Index>(nodes.size()));
  for (std::size_t node = 0; node < nodes.size(); ++node)
    if (nodes[node].lamination == 1)
    {
      u[dim * static_cast<Eigen::Index>(node)] = opening;
      u[dim * static_cast<Eigen::Index>(node) + 1] = slip;
    }
  return energy_release(body.solid, u);
}
} // namespace

// Springs alike on both sides of an edge hold k d^2 / 2 per area there, and that is what is released (J-integral of a layer of
// springs: Krenk 1992, Engng Fract. Mech. 43:549, from memory). What gap the faces have to begin with releases nothing.
TEST_CASE("Evenly stretched glue releases what its springs hold", "[quick]")
{
  constexpr double opening = 1e-6, slip = 2e-6;
  for (const double glue : {0.1e-3, 0.3e-3})
    for (const double gap : {0., 0.05e-3})
    {
      const auto check = [&](const std::vector<PatchEnd> &ends, std::size_t n)
      {
        REQUIRE(ends.size() == n);
        for (const PatchEnd &end : ends)
        {
          // Frames turn with the moved faces; such as stand apart lean by some thousandths, so that slip opens them.
          CHECK(end.opening == Approx(0.5 * E / glue * opening * opening).epsilon(gap > 0. ? 3e-3 : 1e-3));
          CHECK(end.sliding == Approx(0.5 * G / glue * slip * slip).epsilon(1e-3));
        }
      };
      check(ends_of<2>(layers(glue, gap, 1.), opening, slip), 2);
      check(ends_of<3>(layers(glue, gap, 1.), opening, slip), 2);
      if (gap == 0.)
        check(ends_of<3>(layers(glue, gap, 0.5), opening, slip), 4);
    }
}
