// Which edges of the glue are told, and what they hold.
#include "meshing/mesh/strips.h"
#include "meshing/shape/splits.h"
#include "solver/failure/free_edges.h"
#include "support/bodies.h"
#include "support/solid_mesh.h"

#include <algorithm>
#include <cmath>

using namespace limbwright;
using namespace limbwright::checks;

namespace
{
constexpr double length = 0.2;

// An inner layer that ends at 80 mm, an overlay that begins at 120 mm; glue of 0.1 mm.
LimbDescription layers()
{
  LimbDescription limb = straight_bar(length, 10e-3, 20e-3);
  limb.laminations = {full_lamination("wood", 4e-3, 0., length), full_lamination("wood", 0.5e-3, 0., 0.08),
                      full_lamination("wood", 4e-3, 0., length), full_lamination("wood", 1e-3, 0.12, length)};
  limb.glue.assign(3, {"glue", 0.1e-3, 0.});
  return limb;
}

std::map<std::string, Adhesive> epoxy()
{
  Adhesive glue;
  glue.youngs_modulus = 3e9;
  glue.shear_modulus = 1.1e9;
  return {{"glue", glue}};
}

std::map<std::string, Material> wood()
{
  return {{"wood", elastic_material(12e9, 1e9, 0.3)}};
}

template <int dim>
std::vector<PatchEnd> edges_of(const LimbDescription &limb, const MeshSettings &settings)
{
  BodyOf<dim> body(limb, settings, wood(), epoxy());
  // Any displacement: every glue line opens by 1 micrometre and slides by 2.
  const auto &nodes = body.solid.nodes();
  Eigen::VectorXd u = Eigen::VectorXd::Zero(dim * static_cast<Eigen::Index>(nodes.size()));
  for (std::size_t node = 0; node < nodes.size(); ++node)
  {
    u[dim * static_cast<Eigen::Index>(node)] = 1e-6 * nodes[node].lamination;
    u[dim * static_cast<Eigen::Index>(node) + 1] = 2e-6 * nodes[node].lamination;
  }
  return free_edges(body.solid, u);
}

const PatchEnd *at(const std::vector<PatchEnd> &edges, int line, double station, bool toward_tip)
{
  const auto found = std::find_if(edges.begin(), edges.end(),
                                  [&](const PatchEnd &edge) {
                                    return edge.line == line && std::abs(edge.station - station) < 1e-6 &&
                                           edge.toward_tip == toward_tip && !edge.sideways;
                                  });
  return found == edges.end() ? nullptr : &*found;
}
} // namespace

TEST_CASE("Glue has a free edge where a layer ends, and holds there what its springs store", "[quick]")
{
  MeshSettings settings;
  settings.column_length = 10e-3;
  settings.rows_per_lamination = 1;
  settings.end_refinement = 0.;
  const auto edges = edges_of<2>(layers(), settings);
  // Both lines beside the inner layer and that of the pocket beyond it; that under the overlay.
  REQUIRE(edges.size() == 4);
  const PatchEnd *under = at(edges, 0, 0.08, false), *over = at(edges, 1, 0.08, false), *pocket = at(edges, 0, 0.08, true),
                 *overlay = at(edges, 2, 0.12, true);
  REQUIRE(under != nullptr);
  REQUIRE(over != nullptr);
  REQUIRE(pocket != nullptr);
  REQUIRE(overlay != nullptr);
  // k d^2 / 2 with k = E/t, G/t.
  for (const PatchEnd *edge : {under, over, overlay})
  {
    CHECK(edge->opening == Approx(0.5 * 3e9 / 0.1e-3 * 1e-12).epsilon(1e-3)); // frames are those of the moved faces
    CHECK(edge->sliding == Approx(0.5 * 1.1e9 / 0.1e-3 * 4e-12).epsilon(1e-3));
    CHECK(edge->across == 0.);
  }
  // Of the pocket: twice as far apart over 0.7 mm of glue, whose faces lean in elements this long.
  CHECK(pocket->opening == Approx(0.5 * 3e9 / 0.7e-3 * 4e-12).epsilon(5e-2));
}

TEST_CASE("Lines that part, open patches and splits have no free edge of their own", "[quick]")
{
  MeshSettings settings;
  settings.column_length = 10e-3;
  settings.rows_per_lamination = 1;
  settings.end_refinement = 0.;
  LimbDescription limb = layers();
  limb.glue[2].patches = {{0.12, 0.15, 0.}};
  CHECK(at(edges_of<2>(limb, settings), 2, 0.12, true) == nullptr);
  limb = layers();
  limb.laminations.resize(1);
  limb.laminations[0].feather = 0.2e-3;
  limb.glue.clear();
  Split split;
  split.patch.from = 0.05;
  split.patch.to = 0.1;
  split.depth = 1e-3;
  split.comes_out = SplitExit::back;
  CHECK(edges_of<2>(divided(limb, {split}), settings).empty());
}

TEST_CASE("The sides of a solid are told where its strips are fine enough", "[quick]")
{
  LimbDescription limb = layers();
  limb.laminations = {limb.laminations[0], limb.laminations[2]};
  limb.glue.resize(1);
  MeshSettings settings = solid_mesh(limb, 8, 1, 2, true);
  CHECK(edges_of<3>(limb, settings).empty());
  settings.edge_refinement = 0.25;
  const auto half = edges_of<3>(limb, settings);
  REQUIRE(half.size() == 17); // nodes along eight columns
  for (const PatchEnd &edge : half)
  {
    CHECK(edge.sideways);
    CHECK(edge.across == Approx(1.));
    CHECK(edge.sliding == Approx(0.5 * 1.1e9 / 0.1e-3 * 4e-12).epsilon(1e-3));
  }
  const double thinnest = 4e-3, half_of_width = 10e-3;
  const auto borders = strip_borders(LimbShape(limb), settings);
  CHECK(1. - borders[borders.size() - 2] <= 0.25 * thinnest / half_of_width + 1e-12);
  for (std::size_t i = 2; i < borders.size(); ++i)
    CHECK((borders[i - 1] - borders[i - 2]) / (borders[i] - borders[i - 1]) < settings.growth * (1. + 1e-9));
  settings.half_width = false;
  const auto whole = edges_of<3>(limb, settings);
  CHECK(whole.size() == 34);
  CHECK(std::count_if(whole.begin(), whole.end(), [](const PatchEnd &edge) { return edge.across < 0.; }) == 17);
}
