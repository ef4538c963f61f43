// The solid limb against the exact solution of a strip in cylindrical bending: it is held in plane strain.
#include "support/check_table.h"
#include "support/strips.h"

using namespace limbwright;
using namespace limbwright::checks;

TEST_CASE("A cross-ply strip bends as a solid as the exact solution of Pagano says", "[verification]")
{
  struct Row
  {
    double slenderness, w, top, bottom, shear;
  };
  CheckTable table("Pagano's [0/90/0] as a solid: w = 100 E_T h^3 w/(q a^4), sigma_x/q at mid-span, tau/q at the support, "
                   "mid-depth",
                   "Pagano 1969, J. Compos. Mater. 3:398; digits computed anew by his equations");
  for (const Row &row : {Row{4., 2.8872, 18.808, -18.104, 1.4316}, Row{10., .9316, 73.670, -73.630, 4.2386}})
  {
    const LaminateStrip strip = pagano_strip({"0", "90", "0"}, row.slenderness);
    const double S = row.slenderness, E_T = strip.materials.at("0").constants.E_R, load = 6e-5 * E_T / (S * S);
    const double thickness = strip.plies[0].second,
                 to_w = 100. * E_T * std::pow(strip.stack(), 3) / (load * std::pow(strip.span, 4));
    const ExactLaminate laminate = exact(strip, load);
    const HalfStripOf<3> solid(strip, load, 16, 8);
    // The elements are those of the side view, which meets the same within 1 per cent at this height of rows: stresses at the
    // faces are extrapolated.
    table.relative(strip.name + ": w [1]", to_w * solid.deflection(1, thickness / 2.), row.w, 5e-3);
    table.relative("  sigma_x, back [1]", solid.along(2, thickness) / load, row.top, 1e-2);
    table.relative("  sigma_x, belly [1]", solid.along(0, 0.) / load, row.bottom, 1e-2);
    table.relative("  tau [1]", solid.shear(1, thickness / 2.) / load, row.shear, 1e-2);
    for (int line = 0; line < 2; ++line)
    {
      table.relative("  tau in the bond [1]", solid.bond_shear(line) / load, laminate.shear(line) / load, 1e-2);
      table.relative("  peel in the bond [1]", solid.bond_peel(line) / load, laminate.peel(line) / load, 1e-2);
    }
    // The same mesh in the side view: as a solid in plane strain it is the same system of equations.
    const HalfStripOf<2> side(strip, load, 16, 8);
    table.relative("  w, over the side view's [1]", solid.deflection(1, thickness / 2.) / side.deflection(1, thickness / 2.), 1.,
                   1e-6);
    table.relative("  sigma_x, back, over the side view's [1]", solid.along(2, thickness) / side.along(2, thickness), 1., 1e-5);
  }
}
