// A thin layer that is loose over a stretch and pressed along its length.

#include "solver/failure/snapshot.h"
#include "support/bodies.h"
#include "support/check_table.h"

#include <cmath>

using namespace limbwright;
using namespace limbwright::checks;

namespace
{
constexpr double length = 0.15, width = 20e-3, block = 20e-3;

struct Buckling
{
  double critical = 0.;   // [1] shortening, by Southwell's line through the deflections
  double end_strain = 0.; // [1] shortening of the strip's face at its clamped end, as judged
  double of_column = 0.;  // [1] the same of a clamped column with that deflection
};

Buckling press(const double strip, const double loose, const int n_columns = 100)
{
  LimbDescription limb = straight_bar(length, strip + block, width);
  limb.laminations = {full_lamination("strip", strip, 0., length), full_lamination("block", block, 0., length)};
  limb.glue = {{}};
  limb.glue[0].bond_stiffness = 1e15;
  GluePatch patch;
  patch.from = 0.5 * (length - loose);
  patch.to = 0.5 * (length + loose);
  patch.gap = 0.02 * strip;
  limb.glue[0].patches = {patch};
  MeshSettings mesh = even_mesh(limb, n_columns, 2);
  const std::map<std::string, Material> materials{{"strip", elastic_material(40e9, 20e9)},
                                                  {"block", elastic_material(400e9, 200e9)}};
  Body body(limb, mesh, materials);
  // The block shortens evenly: the load lies where strip and block together are not bent.
  const double EA_strip = 40. * strip, EA_block = 400. * block;
  const SectionForce load(body.solid, length, (EA_block * block / 2. + EA_strip * (block + strip / 2.)) / (EA_block + EA_strip));
  const Loads held = load.held(Eigen::Vector2d(0., -1.), 0);
  Equilibrium equilibrium({&body.solid}, {});
  State state = equilibrium.zero(1);
  const double flat = pi * pi / 3. * (strip / loose) * (strip / loose);
  // Southwell 1932: deflection over load falls on a straight line against the deflection; its slope is one over the critical
  // load.
  double sum_w = 0., sum_r = 0., sum_ww = 0., sum_wr = 0.;
  int n = 0;
  Buckling result_of;
  for (int i = 1; i <= 12; ++i)
  {
    const double shortening = flat * (0.05 * i + 0.25);
    const State before = state;
    const NewtonResult result = equilibrium.solve(state, before, shortening * length, held);
    INFO("shortening " << shortening << ": " << result.reason);
    REQUIRE(result.converged);
    const Eigen::VectorXd u = body.solid.space().expand(state.q[0]);
    double deflection = 0.;
    for (const auto &element : body.solid.glue())
    {
      const auto apart = body.solid.separations(element, u);
      for (int k = 0; k < 3; ++k)
        if (const double s = body.solid.nodes()[element.belly_nodes[k]].station; std::abs(s - 0.5 * length) < 1e-9)
          deflection = apart[k].x() - patch.gap;
    }
    REQUIRE(deflection > 0.);
    ++n;
    sum_w += deflection;
    sum_r += deflection / shortening;
    sum_ww += deflection * deflection;
    sum_wr += deflection * deflection / shortening;
    // A whole wave of a cosine: curvature at its ends 2 pi^2 w / a^2, and the strip is longer than its chord by pi^2 w^2 / (4 a).
    const double w = deflection + patch.gap;
    result_of.of_column = shortening - pi * pi / 4. * (w * w - patch.gap * patch.gap) / (loose * loose) +
                          strip * pi * pi * deflection / (loose * loose);
    if (i < 12)
      continue;
    const std::map<std::string, Adhesive> none;
    LimbJudge judge(body.solid, materials, none, 0.);
    for (const FaceState &face : judge.judge(LimbName::upper, u).snapshot.faces)
      if (face.lamination == 0 && std::abs(face.station - patch.from) < 1e-9)
        result_of.end_strain = std::max(result_of.end_strain, -face.strain_along);
  }
  result_of.critical = (n * sum_ww - sum_w * sum_w) / (n * sum_wr - sum_w * sum_r);
  return result_of;
}
} // namespace

TEST_CASE("A loose strip on a block buckles as a clamped column", "[verification]")
{
  CheckTable table("Shortening at which a strip that is loose over a length lifts off a stiff block [%]",
                   "clamped flat strip, pi^2/3 (t/a)^2 (Timoshenko and Gere 1961, Theory of Elastic Stability, art. 2.1)");
  for (const double loose : {25e-3, 40e-3, 60e-3})
  {
    const double strip = 0.9e-3;
    // The glued ends give a little, the more so the shorter the strip.
    table.relative("t .9 mm, a " + std::to_string(static_cast<int>(loose * 1e3)) + " mm", press(strip, loose).critical * 100.,
                   pi * pi / 3. * (strip / loose) * (strip / loose) * 100., 0.05);
  }
}

TEST_CASE("A buckled strip is judged at its clamped ends, as a section of its own", "[verification]")
{
  CheckTable table("Strain of the strip's face at the end of its loose stretch, at .85 of the critical shortening [%]",
                   "clamped column (Timoshenko and Gere 1961, art. 2.1): curvature 2 pi^2 w / a^2 at the ends");
  const double strip = 0.9e-3, loose = 40e-3;
  const Buckling coarse = press(strip, loose, 100), fine = press(strip, loose, 200);
  // The glued ends give a little, as above.
  table.relative("columns of 1.5 mm", coarse.end_strain * 100., coarse.of_column * 100., 0.05);
  table.relative("columns of .75 mm, against those of 1.5 mm", fine.end_strain * 100., coarse.end_strain * 100., 0.02);
}
