// The curved cantilever of MacNeal and Harder, in its plane and out of it.
#include "support/check_table.h"
#include "support/solid_mesh.h"

#include <cmath>

using namespace limbwright;
using namespace limbwright::checks;

namespace
{
// A quarter of a circle, the back inside: the limb leaves along y and ends along x, its sections' normals turned from x to -y.
struct QuarterCircle
{
  static constexpr double inner = 4.12, outer = 4.32, depth = 0.1, E = 1e7, nu = 0.25;
  static constexpr double middle = 0.5 * (inner + outer), height = outer - inner;

  static LimbDescription bar()
  {
    LimbDescription result = straight_bar(inner * pi / 2., height, depth);
    result.profile.lean = {{0., result.tip_station}, {0., pi / 2.}};
    return result;
  }
  static std::map<std::string, Material> materials() { return {{"elastic", elastic_material(E, E / (2. * (1. + nu)), nu)}}; }

  // What the end moves along a small force, for a force of one.
  template <class AnyBody>
  static double gives_way(AnyBody &body, const Eigen::Vector3d &direction)
  {
    const SectionForce end(body.solid, inner * pi / 2., height / 2.);
    Equilibrium equilibrium({&body.solid}, {});
    constexpr double small = 1e-4; // a force of one moves the end by an eighth of the radius: that is not linear any more
    const State state = raise_load(equilibrium, end.dead_in_space(small * direction), 1);
    return (end.place_in_space(state) - end.place_in_space(equilibrium.zero(0))).dot(direction) / small;
  }
};
} // namespace

TEST_CASE("The curved cantilever of MacNeal and Harder bends in its plane and out of it", "[verification]")
{
  // Radii 4.12 and 4.32, a quarter circle, .1 thick, E = 1e7, nu = .25, a unit force at the end: in the plane square to the bar,
  // and out of the plane. Their values, .08734 and .5022, are from memory, here beside curved-beam theory: bending, shear and
  // stretch in the plane; bending and twist out of it (Roark; the torsion constant of a rectangle by Timoshenko and Goodier 1970,
  // art. 109).
  const double R = QuarterCircle::middle, h = QuarterCircle::height, b = QuarterCircle::depth, E = QuarterCircle::E;
  const double G = E / (2. * (1. + QuarterCircle::nu)), A = b * h, I = b * h * h * h / 12., I_out = h * b * b * b / 12.;
  // Thick in the plane: its neutral axis lies inside the middle, r = h / ln(outer / inner).
  const double r = h / std::log(QuarterCircle::outer / QuarterCircle::inner), e = R - r;
  const double in_plane = pi / 4. * (R / (A * e * E) * R - R / (A * E) + 1.2 * R / (G * A));
  const double J = h * b * b * b / 3. * (1. - 0.63 * b / h * (1. - std::pow(b / h, 4) / 12.));
  const double out_of_plane = R * R * R * (pi / 4. / (E * I_out) + (3. * pi / 4. - 2.) / (G * J)) + 1.2 * R * pi / 2. / (G * A);
  CheckTable table("Curved cantilever, a quarter of a circle",
                   "MacNeal and Harder 1985, Finite Elem. Anal. Des. 1:3 (values from memory); curved-beam theory");
  const LimbDescription bar = QuarterCircle::bar();
  SolidBody solid(bar, solid_mesh(bar, 24, 2, 2, false), QuarterCircle::materials());
  const double in = QuarterCircle::gives_way(solid, {0., 1., 0.}), out = QuarterCircle::gives_way(solid, {0., 0., 1.});
  // In the plane theory lies 1.4 per cent above the published value, by bending alone as by all there is; the solid lies with
  // theory.
  table.relative("in the plane, published", in, 0.08734, 1.5e-2);
  table.relative("in the plane, thick curved beam", in, in_plane, 1e-2);
  table.relative("out of the plane, published", out, 0.5022, 1e-2);
  table.relative("out of the plane, beam", out, out_of_plane, 1e-2);
  Body side(bar, even_mesh(bar, 24, 2), QuarterCircle::materials());
  table.relative("in the plane, over the side view's", in / QuarterCircle::gives_way(side, {0., 1., 0.}), 1., 3e-3);
  table.note("slender bar, bending alone, in the plane", pi / 4. * R * R * R / (E * I));
}
