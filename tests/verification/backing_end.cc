// Where a backing stops: peel and shear of the glue at its square end.

#include "support/bodies.h"
#include "support/check_table.h"

using namespace limbwright;
using namespace limbwright::checks;

namespace
{
struct EndTractions
{
  double shear, peel, mean_shear, mean_peel; // [Pa]
};

// Wood 30 x 10 mm, backing 1 mm over the first 150 mm; 100 N across, 100 mm beyond the backing's end, which bend it into tension.
// The glue, 0.2 mm of 3 and 1.1 GPa, is taken as springs between faces that touch: a thousandth of thickness and moduli.
EndTractions load_end(const Material &wood, const Material &backing)
{
  constexpr double end = 150e-3, length = 250e-3, load = 100., part = 1e-3;
  LimbDescription limb = straight_bar(length, 10e-3, 30e-3);
  limb.laminations = {full_lamination("wood", 10e-3, 0., length), full_lamination("backing", 1e-3, 0., end)};
  limb.glue = {{"glue", 0.2e-6, 0.}};
  Adhesive glue;
  glue.youngs_modulus = 3e6;
  glue.shear_modulus = 1.1e6;
  MeshSettings mesh;
  mesh.column_length = 4e-3;
  mesh.rows_per_lamination = 24;
  mesh.end_refinement = 0.;
  mesh.growth = 1.3;
  mesh.fine_zones = {{end - 1.5e-3, end + 0.5e-3, 0.1e-3}};
  Body body(limb, mesh, {{"wood", wood}, {"backing", backing}}, {{"glue", glue}}, PlaneState::stress);
  const SectionForce force(body.solid, length, 5e-3);
  NewtonSettings newton;
  newton.tolerance = 1e-6;
  Equilibrium equilibrium({&body.solid}, newton);
  const State state = raise_load(equilibrium, force.dead({-part * load, 0.}), 1);
  const Eigen::VectorXd u = body.solid.space().expand(state.q[0]);

  EndTractions result{};
  double area = 0., last = 0.;
  for (const auto &element : body.solid.glue())
  {
    const auto traction = body.solid.tractions(element, u);
    const double from = body.solid.nodes()[element.belly_nodes[0]].station,
                 to = body.solid.nodes()[element.belly_nodes[2]].station;
    if (to > last)
    {
      last = to;
      result.shear = std::abs(traction[2].shear) / part;
      result.peel = traction[2].peel / part;
    }
    const double inside = std::clamp((to - (end - 1e-3)) / (to - from), 0., 1.); // of the element, in the last millimetre
    for (int k = 0; k < 3; ++k)
    {
      area += inside * element.weight[k];
      result.mean_shear += inside * element.weight[k] * std::abs(traction[k].shear) / part;
      result.mean_peel += inside * element.weight[k] * traction[k].peel / part;
    }
  }
  result.mean_shear /= area;
  result.mean_peel /= area;
  return result;
}
} // namespace

TEST_CASE("The glue under the end of a backing bears what theory and an independent program say", "[verification]")
{
  CheckTable table("End of a backing, 10 N m and 100 N there",
                   "end values: Smith and Teng 2001 (from memory); means over 1 mm: computed once by an independent 2-D program");
  const EndTractions isotropic = load_end(elastic_material(13e9, 13e9 / 2.6, 0.3), elastic_material(40e9, 40e9 / 2.6, 0.3));
  table.relative("shear at the end, alike in all directions [Pa]", isotropic.shear, 14.8e6, 5e-2);
  table.relative("peel at the end [Pa]", isotropic.peel, 13.2e6, 5e-2);
  table.relative("mean shear [Pa]", isotropic.mean_shear, 9.48e6, 4e-2);
  table.relative("mean peel [Pa]", isotropic.mean_peel, 4.07e6, 4e-2);
  const auto stiff_along = [](double E_L, double E_N, double G)
  {
    Material material = elastic_material(E_L, G, 0.3);
    material.constants.E_R = material.constants.E_T = E_N;
    return material;
  };
  const EndTractions wood = load_end(stiff_along(13e9, 1.3e9, 0.9e9), stiff_along(40e9, 10e9, 4e9));
  table.relative("wood and glass: mean shear [Pa]", wood.mean_shear, 7.84e6, 4e-2);
  table.relative("wood and glass: mean peel [Pa]", wood.mean_peel, 2.35e6, 4e-2);
  table.note("wood and glass: shear at the end [Pa]", wood.shear);
  table.note("wood and glass: peel at the end [Pa]", wood.peel);
}
