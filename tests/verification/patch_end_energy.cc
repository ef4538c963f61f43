// What the end of an open patch would release, beside the energy that the model itself sets free when the end is moved.
#include "solver/failure/energy_release.h"
#include "solver/stages/face_traction.h"
#include "support/bodies.h"
#include "support/check_table.h"

#include <memory>

using namespace limbwright;
using namespace limbwright::checks;

namespace
{
constexpr double mm = 1e-3, length = 60. * mm, end = 35. * mm, width = 20. * mm, thin = 2. * mm, thick = 4. * mm;

// A clamped bar of two layers whose glue is open from `open_from` to the tip; a pull on the whole back face, across and along.
struct Pulled
{
  double stored;            //!< [J]
  std::vector<PatchEnd> at; // the patch's end
};

template <int dim>
Pulled pull(double open_from, double glue, double column)
{
  LimbDescription bar = straight_bar(length, thin + thick + glue, width);
  bar.laminations = {full_lamination("wood", thick, 0., length), full_lamination("wood", thin, 0., length)};
  bar.glue = {{"glue", glue, glue > 0. ? 0. : 1e15}};
  bar.glue[0].patches = {{open_from, length, 0.}};
  MeshSettings mesh = even_mesh(bar, 20, 4);
  mesh.strips = 1;
  mesh.half_width = true;
  mesh.fine_zones = {{end - 4. * mm, end + 4. * mm, column}}; // the same wherever the end lies
  Adhesive epoxy;
  epoxy.youngs_modulus = 3e9;
  epoxy.shear_modulus = 1.1e9;
  // No Poisson's effect: a solid is the same all across.
  Material wood = elastic_material(12e9, 1e9);
  wood.constants.E_R = wood.constants.E_T = 1.2e9;
  BodyOf<dim> body(bar, mesh, {{"wood", wood}}, {{"glue", epoxy}});
  NewtonSettings newton;
  newton.tolerance = 1e-9;
  Equilibrium equilibrium({&body.solid}, newton);
  // So small that work and energy grow as the square of the load.
  const State state =
      raise_load(equilibrium, face_traction(body.solid, true, [](double) { return Eigen::Vector2d(10., 200.); }), 1);
  const auto energy = body.solid.energy(state.q[0]);
  return {energy.laminations + energy.glue, energy_release(body.solid, body.solid.space().expand(state.q[0]))};
}

template <int dim>
void compare(CheckTable &table, const std::vector<double> &columns)
{
  for (const double glue : {0., 0.1016 * mm, 0.3048 * mm}) // none, .004, .012 in
    for (const double column : columns)
    {
      const double moved = 0.5 * mm;
      const Pulled here = pull<dim>(end, glue, column);
      REQUIRE(here.at.size() == 1);
      // At a standing load what is released is half of its work (Clapeyron).
      const double released =
          (pull<dim>(end - moved, glue, column).stored - pull<dim>(end + moved, glue, column).stored) / (2. * moved * width);
      table.relative(std::to_string(dim) + "-D, glue of " + std::to_string(glue / mm) + " mm, columns of " +
                         std::to_string(column / mm) + " mm: G [J/m2]",
                     here.at[0].total(), released, 0.01);
      table.note("  share of sliding [1]", here.at[0].sliding_share());
    }
}
} // namespace

TEST_CASE("The end of a patch releases what moving it sets free, with thin glue, thick glue and none", "[verification]")
{
  CheckTable table("A pulled bar, its glue open from 35 mm to the tip", "the model's own energies with the end moved by .5 mm");
  compare<2>(table, {0.5 * mm, 0.25 * mm, 0.125 * mm});
  compare<3>(table, {0.5 * mm, 0.25 * mm});
}
