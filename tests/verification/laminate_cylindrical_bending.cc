#include "support/check_table.h"
#include "support/strips.h"

using namespace limbwright;
using namespace limbwright::checks;

namespace
{
// Wood and glass in the sizes of a limb. Sitka spruce: Wood Handbook 2021, tables 5-1 and 5-2. Glass: moduli along and across and
// nu_12 of E-glass in epoxy, as in common tables (from memory), transversely isotropic.
LaminateStrip limb_strip(const std::string &name, const std::vector<std::pair<std::string, double>> &plies, double span)
{
  LaminateStrip strip;
  strip.name = name;
  Material wood, glass;
  wood.constants = {11.907e9, 0.92875e9, 0.51200e9, 0.76205e9, 0.72633e9, 0.03572e9, 0.372, 0.467, 0.435};
  glass.constants = {45.6e9, 16.2e9, 16.2e9, 5.83e9, 5.83e9, 5.7857e9, 0.278, 0.278, 0.40};
  strip.materials = {{"wood", wood}, {"glass", glass}};
  strip.plies = plies;
  strip.span = span;
  strip.adhesive.youngs_modulus = 3e9;
  strip.adhesive.shear_modulus = 1.1e9;
  return strip;
}

void compare_with_exact(CheckTable &table, const LaminateStrip &strip, double load, int n_columns, int n_rows)
{
  const HalfStrip half(strip, load, n_columns, n_rows);
  const ExactLaminate laminate = exact(strip, load);
  const std::size_t top = strip.plies.size() - 1;
  const double h_top = strip.plies[top].second;
  // Stresses at the faces come from one side only, by extrapolation; there the error is largest.
  table.relative(strip.name + ": w at the belly [m]", half.deflection(0, 0.), laminate.at(0, 0.).w, 1e-3);
  table.relative("  sigma_x, back [Pa]", half.along(top, h_top), laminate.at(top, h_top).along, 5e-3);
  table.relative("  sigma_x, belly [Pa]", half.along(0, 0.), laminate.at(0, 0.).along, 5e-3);
  for (std::size_t line = 0; line < top; ++line)
  {
    const std::string which = "  line " + std::to_string(line);
    table.relative(which + ": shear at the support [Pa]", half.bond_shear(static_cast<int>(line)), laminate.shear(line), 3e-3);
    table.relative(which + ": peel at mid-span [Pa]", half.bond_peel(static_cast<int>(line)), laminate.peel(line), 5e-3);
    table.relative(which + ": sigma_x below it [Pa]", half.along(line, strip.plies[line].second),
                   laminate.at(line, strip.plies[line].second).along, 5e-3);
  }
}
} // namespace

TEST_CASE("Cylindrical bending of cross-ply strips agrees with the exact solution of Pagano", "[verification]")
{
  struct Row
  {
    std::vector<std::string> lay_up;
    double slenderness, w, top, bottom, shear;
  };
  const std::vector<std::string> one{"0"}, cross{"0", "90", "0"};
  const std::vector<Row> rows{{one, 4., 1.9490, 14.409, -13.569, 1.7314},   {one, 10., .7319, 65.692, -65.513, 4.6828},
                              {cross, 4., 2.8872, 18.808, -18.104, 1.4316}, {cross, 10., .9316, 73.670, -73.630, 4.2386},
                              {cross, 20., .6173, 263.18, -263.25, 8.7481}, {cross, 50., .5270, 1587.0, -1587.1, 22.074}};
  CheckTable table("Pagano's strips: w = 100 E_T h^3 w/(q a^4), sigma_x/q at mid-span, tau/q at the support, mid-depth",
                   "Pagano 1969, J. Compos. Mater. 3:398; digits computed anew by his equations");
  for (const Row &row : rows)
  {
    const LaminateStrip strip = pagano_strip(row.lay_up, row.slenderness);
    const double S = row.slenderness, E_T = strip.materials.at("0").constants.E_R, load = 6e-5 * E_T / (S * S);
    const std::size_t middle = row.lay_up.size() / 2, top = row.lay_up.size() - 1;
    const double thickness = strip.plies[0].second,
                 to_w = 100. * E_T * std::pow(strip.stack(), 3) / (load * std::pow(strip.span, 4));

    // The exact solution of the test itself, with bonds that do not give.
    LaminateStrip rigid = strip;
    rigid.glue.bond_stiffness *= 1e6;
    const ExactLaminate laminate = exact(rigid, load);
    table.relative(strip.name + ", exact: w [1]", to_w * laminate.at(middle, thickness / 2.).w, row.w, 2e-4);
    table.relative("  sigma_x, back [1]", laminate.at(top, thickness).along / load, row.top, 1e-4);
    table.relative("  sigma_x, belly [1]", laminate.at(0, 0.).along / load, row.bottom, 1e-4);
    table.relative("  tau [1]", laminate.at(middle, thickness / 2.).shear / load, row.shear, 1e-4);

    // Stresses at the faces are extrapolated; their error falls with the square of the row height (1.4 % with half as many rows
    // at S = 4). At S = 50 some 0.4 % of the small peel is real: plies pulled or pressed along press on their bonds when they are
    // curved, in proportion to the load.
    const HalfStrip half(strip, load, 40, row.lay_up.size() == 1 ? 24 : 8);
    table.relative(strip.name + ", finite elements: w [1]", to_w * half.deflection(middle, thickness / 2.), row.w, 5e-3);
    table.relative("  sigma_x, back [1]", half.along(top, thickness) / load, row.top, 1e-2);
    table.relative("  sigma_x, belly [1]", half.along(0, 0.) / load, row.bottom, 1e-2);
    table.relative("  tau [1]", half.shear(middle, thickness / 2.) / load, row.shear, 1e-2);
    for (int line = 0; line < static_cast<int>(top); ++line)
    {
      table.relative("  tau in the bond [1]", half.bond_shear(line) / load, laminate.shear(line) / load, 1e-2);
      table.relative("  peel in the bond [1]", half.bond_peel(line) / load, laminate.peel(line) / load, 1e-2);
    }
  }
}

TEST_CASE("Glued strips of wood and glass agree with the exact solution with elastic bonds", "[verification]")
{
  CheckTable table("Wood and glass on glue lines, plane strain", "state-space solution with bonds; support/exact_laminate.h");
  const std::vector<std::pair<std::string, double>> sandwich{{"glass", 1e-3}, {"wood", 8e-3}, {"glass", 1e-3}},
      uneven{{"wood", 4e-3}, {"wood", 5e-3}, {"glass", 1.5e-3}};

  // A real glue line: thin, much softer than what it holds.
  LaminateStrip thick_glue = limb_strip("glass/wood/glass 100 mm glue 0.2 mm", sandwich, 0.1);
  thick_glue.glue = {"glue", 0.2e-3, 0.};
  compare_with_exact(table, thick_glue, 1e3, 40, 8);

  LaminateStrip short_span = limb_strip("wood/wood/glass 40 mm glue 0.3 mm", uneven, 0.04);
  short_span.glue = {"glue", 0.3e-3, 0.};
  compare_with_exact(table, short_span, 1e4, 40, 8);

  // Rubbery glue: the layers slide, the deflection is far from that of a perfect bond.
  LaminateStrip soft = limb_strip("glass/wood/glass 100 mm soft glue", sandwich, 0.1);
  soft.glue = {"glue", 0.2e-3, 0.};
  soft.adhesive.youngs_modulus = 6e6;
  soft.adhesive.shear_modulus = 2e6;
  compare_with_exact(table, soft, 1e3, 40, 8);
  LaminateStrip firm = soft;
  firm.adhesive.youngs_modulus = 3e9;
  firm.adhesive.shear_modulus = 1.1e9;
  table.at_least("  its deflection over that with firm glue [1]", exact(soft, 1.).at(0, 0.).w / exact(firm, 1.).at(0, 0.).w, 1.5);

  // No glue layer, a bond of equal stiffness in shear and opening.
  LaminateStrip bond = limb_strip("wood/wood/glass 60 mm no glue layer", uneven, 0.06);
  bond.glue.bond_stiffness = 1e12;
  compare_with_exact(table, bond, 1e4, 40, 8);
}

TEST_CASE("A thin glue line may be left without stress along it", "[verification]")
{
  // The same strip with its glue as a ply of the exact solution: isotropic, nu = E/2G - 1, which the interface does not know.
  LaminateStrip strip = limb_strip("glass/wood/glass", {{"glass", 1e-3}, {"wood", 8e-3}, {"glass", 1e-3}}, 0.1);
  strip.glue = {"glue", 0.15e-3, 0.};
  LaminateStrip with_plies = strip;
  const double E = strip.adhesive.youngs_modulus, G = strip.adhesive.shear_modulus, nu = E / (2. * G) - 1.;
  with_plies.materials["glue"].constants = {E, E, E, G, G, G, nu, nu, nu};
  with_plies.plies = {
      {"glass", 1e-3}, {"glue", strip.glue.thickness}, {"wood", 8e-3}, {"glue", strip.glue.thickness}, {"glass", 1e-3}};
  with_plies.glue = {"", 0., 1e18};
  const ExactLaminate reference = exact(with_plies, 1e3);
  const HalfStrip half(strip, 1e3, 40, 8);
  // What the interface leaves out is the glue's own stiffness along: 2 E t z^2 over the strip's EI is 0.7 %. The weaker strip
  // bends that much more.
  CheckTable table("Glue of 0.15 mm as an interface against glue as a solid ply",
                   "state-space solution; support/exact_laminate.h");
  table.relative("w at the belly [m]", half.deflection(0, 0.), reference.at(0, 0.).w, 8e-3);
  table.relative("sigma_x, back [Pa]", half.along(2, 1e-3), reference.at(4, 1e-3).along, 8e-3);
  table.relative("shear in the back's glue [Pa]", half.bond_shear(1), reference.at(3, strip.glue.thickness / 2.).shear, 5e-3);
  table.relative("peel in the back's glue [Pa]", half.bond_peel(1), reference.at(3, strip.glue.thickness / 2.).across, 1e-2);
}
