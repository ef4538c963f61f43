#include "solver/failure/gathered_strain.h"
#include "cases/reader/material_library.h"
#include "cases/study/section_bending.h"
#include "materials/law/crushing.h"
#include "materials/law/wood_bending.h"
#include "support/bodies.h"
#include "support/check_table.h"

#include <algorithm>
#include <cmath>

using namespace limbwright;
using namespace limbwright::checks;

namespace
{
// An ash stave with a loose knot a seventh of its width, bent past what its belly yields at.
constexpr double inch = 0.0254, length = 8. * inch, thickness = 0.4 * inch, width = 1.75 * inch, place = 3. * inch;

struct Found
{
  double force = 0.;     // [N] at the tip
  double told = 0.;      // [1] greatest shortening beside the knot, as it is told
  double in_column = 0.; // [1] greatest mean of a column on the belly
};

Found bend(double column_over_knot)
{
  const Material &ash = library_materials().at("white-ash");
  LimbDescription bar = straight_bar(length, thickness, width);
  Knot knot;
  knot.station = place;
  knot.diameter = 0.25 * inch;
  knot.state = KnotState::loose;
  bar.weak.knots = {knot};
  MeshSettings settings = even_mesh(bar, 40, 6);
  settings.fine_zones = {{place - 0.5 * inch, place + 0.5 * inch, column_over_knot * knot.diameter}};
  Body body(bar, settings, {{"elastic", ash}});
  body.solid.let_crush({crushing_law(ash)});
  const SectionForce load(body.solid, length, thickness / 2.);
  const Loads held = load.held(Eigen::Vector2d(-1., 0.), 0); // toward the archer: the belly shortens
  Equilibrium equilibrium({&body.solid}, {});
  State state = equilibrium.zero(1);
  Found found;
  Crushed crushed;
  constexpr int n_steps = 20;
  const double step = 1. * inch / n_steps;
  for (int i = 1; i <= n_steps; ++i)
  {
    const State before = state;
    if (i > 1)
      state = before + equilibrium.rate(before, (i - 1) * step, held) * step;
    const NewtonResult solved = equilibrium.solve(state, before, i * step, held);
    INFO("step " << i << ": " << solved.reason);
    REQUIRE(solved.converged);
    body.solid.commit(state.q[0]);
    const Eigen::VectorXd u = body.solid.space().expand(state.q[0]);
    const NodalFields fields = recover_nodal_fields(body.solid, u, crushed);
    crushed = fields.crushed;
    if (i < n_steps)
      continue;
    found.force = std::abs(state.scalars[0]);
    for (std::size_t n = 0; n < body.solid.nodes().size(); ++n)
      if (std::abs(body.solid.nodes()[n].station - place) < knot.diameter)
        found.told = std::max(found.told, -fields.strain[n][0]);
    for (const auto &cell : body.solid.cells())
      if (cell.row == 0)
      {
        const auto gauss = body.solid.gauss_strains(cell, u);
        found.in_column = std::max(found.in_column, -0.5 * (gauss[0][0] + gauss[2][0])); // those next to the belly
      }
  }
  return found;
}
} // namespace

TEST_CASE("Strain that gathers beside a loose knot is told alike on two meshes", "[verification]")
{
  CheckTable table(
      "Ash stave 0.4 in thick and 1.75 in wide with a loose knot of 0.25 in, bent past yield; columns at the knot of an "
      "eighth and a sixteenth of its size",
      "refinement; what is told is a mean over two of the knot's sizes");
  const Found coarse = bend(1. / 8.), fine = bend(1. / 16.);
  table.relative("force at the tip [N]", fine.force, coarse.force, 0.01);
  table.relative("told shortening beside the knot [1]", fine.told, coarse.told, 0.10);
  // Without the mean the same stave would be told otherwise by each mesh.
  table.at_least("shortening of the worst column, fine over coarse [1]", fine.in_column / coarse.in_column, 1.3);
  table.at_least("worst column over what is told, fine [1]", fine.in_column / fine.told, 1.5);
}
