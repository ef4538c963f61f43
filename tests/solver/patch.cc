#include "support/bodies.h"
#include "support/check_table.h"
#include "support/sampling.h"

#include <Eigen/LU>

#include <set>

using namespace limbwright;
using namespace limbwright::checks;

namespace
{
using Eigen::Matrix2d;
using Eigen::Vector2d;

Vector2d place_of(const LayeredSolid<2> &solid, std::size_t node)
{
  return {solid.nodes()[node].place[0], solid.nodes()[node].place[1]};
}

template <typename Field>
Eigen::VectorXd imposed(const LayeredSolid<2> &solid, const Field &field)
{
  Eigen::VectorXd u(2 * solid.nodes().size());
  for (std::size_t n = 0; n < solid.nodes().size(); ++n)
    u.segment<2>(2 * n) = field(place_of(solid, n), solid.nodes()[n].lamination);
  return u;
}

// Nodes on the outside of a body: ends, outer belly, outer back.
std::set<int> outside(const LayeredSolid<2> &solid)
{
  std::set<int> nodes;
  const auto &shape = solid.shape();
  for (std::size_t n = 0; n < solid.nodes().size(); ++n)
  {
    const auto &node = solid.nodes()[n];
    const bool at_end =
        node.station < shape.description().root_station + 1e-9 || node.station > shape.description().tip_station - 1e-9;
    if (at_end || std::abs(node.depth - shape.outer_back_depth(node.station)) < 1e-9 ||
        std::abs(node.depth - shape.outer_belly_depth(node.station)) < 1e-9)
      nodes.insert(static_cast<int>(n));
  }
  return nodes;
}

// Largest force inside the body over the largest on its outside. [1]
double unbalance(LayeredSolid<2> &solid, const Eigen::VectorXd &u)
{
  const Eigen::VectorXd q = solid.space().sample(u);
  Eigen::VectorXd force;
  solid.assemble(q, Eigen::VectorXd::Zero(q.size()), force);
  const std::set<int> skin = outside(solid);
  double within = 0., without = 0.;
  for (int n = 0; n < static_cast<int>(solid.nodes().size()); ++n)
  {
    double &largest = skin.count(n) > 0 ? without : within;
    largest = std::max(largest, force.segment<2>(2 * n).cwiseAbs().maxCoeff());
  }
  return within / without;
}

NewtonSettings linear_settings()
{
  NewtonSettings settings;
  settings.tolerance = 1e-7;
  return settings;
}
} // namespace

TEST_CASE("Curved, tapered cells reproduce a homogeneous deformation", "[quick]")
{
  LimbDescription limb = straight_bar(0.3, 20e-3, 0.02);
  limb.profile.lean = {{0., 0.3}, {-0.3, 1.2}};
  limb.laminations[0].thickness = {{0., 0.3}, {30e-3, 8e-3}};
  constexpr double E = 10e9, nu = 0.3, G = E / (2. * (1. + nu));
  Body body(limb, even_mesh(limb, 7, 3), {{"elastic", elastic_material(E, G, nu)}}, {}, PlaneState::stress, Supports{});
  CheckTable table("One curved, tapering lamination, alike in all directions", "the homogeneous strain imposed");
  for (const double size : {1e-6, 0.2})
  {
    Matrix2d H;
    H << 0.8, 0.5, -0.3, -0.6;
    H *= size;
    const Eigen::VectorXd u = imposed(body.solid, [&](const Vector2d &x, int) -> Vector2d { return H * x; });
    const Matrix2d strain = 0.5 * (H + H.transpose() + H.transpose() * H);
    const NodalFields fields = recover_nodal_fields(body.solid, u);
    // The grain axes turn from node to node, and single components with them; the sums do not. The energy knows all components.
    double strain_error = 0., stress_error = 0.;
    for (std::size_t n = 0; n < body.solid.nodes().size(); ++n)
    {
      strain_error = std::max(strain_error, std::abs(fields.strain[n].head<2>().sum() - strain.trace()) / strain.norm());
      const double sum = E / (1. - nu) * strain.trace();
      stress_error = std::max(stress_error, std::abs(fields.stress[n].head<2>().sum() - sum) / (E * strain.norm()));
    }
    const auto density = [&](const Matrix2d &e)
    { return E / (2. * (1. - nu * nu)) * (e.trace() * e.trace() - 2. * (1. - nu) * e.determinant()); };
    // Volume from the energy of an even stretch.
    const Matrix2d even = (size + 0.5 * size * size) * Matrix2d::Identity();
    const Eigen::VectorXd stretched = imposed(body.solid, [&](const Vector2d &x, int) -> Vector2d { return size * x; });
    const auto energy = [&](const Eigen::VectorXd &v) { return body.solid.energy(body.solid.space().sample(v)).laminations; };
    const double volume = energy(stretched) / density(even);
    const std::string which = size < 1e-3 ? ", small" : ", large";
    table.at_most("sum of normal strains, largest error [1]" + which, strain_error, size < 1e-3 ? 1e-9 : 1e-12);
    table.at_most("sum of normal stresses, largest error [1]" + which, stress_error, size < 1e-3 ? 1e-9 : 1e-12);
    table.at_most("force inside over force outside [1]" + which, unbalance(body.solid, u), size < 1e-3 ? 1e-9 : 1e-12);
    table.relative("energy over volume [J/m3]" + which, energy(u) / volume, density(strain), 1e-9);
    // Integral of t (1 + t/2 curvature), t from 30 to 8 mm, the belly on the outside of the bend of 5/m.
    constexpr double mean = 19e-3, mean_square = (900. + 240. + 64.) / 3. * 1e-6;
    table.relative("volume [m3]" + which, volume, 0.3 * 0.02 * (mean + 0.5 * 5. * mean_square), 1e-4);
  }
}

TEST_CASE("Glue passes constant peel and shear on", "[quick]")
{
  // Straight laminations of unequal thickness under one homogeneous stress; each is moved on by what the glue below it gives.
  constexpr double E = 10e9, nu = 0.3, G = E / (2. * (1. + nu)), t = 0.3e-3, along = 3e3, across = 5e3, shear = 2e3; // Pa
  LimbDescription limb = straight_bar(0.08, 12e-3 + 2. * t, 0.02);
  limb.laminations = {full_lamination("elastic", 3e-3, 0., 0.08), full_lamination("elastic", 7e-3, 0., 0.08),
                      full_lamination("elastic", 2e-3, 0., 0.08)};
  limb.glue.assign(2, {"glue", t, 0.});
  Adhesive glue;
  glue.youngs_modulus = 0.4e9;
  glue.shear_modulus = 0.15e9;
  MeshSettings settings = even_mesh(limb, 6, 2);
  limb.nock.station = 0.03; // a column that is not as long as the others
  Body body(limb, settings, {{"elastic", elastic_material(E, G, nu)}}, {{"glue", glue}}, PlaneState::stress, Supports{});

  const double e_along = (along - nu * across) / E, e_across = (across - nu * along) / E;
  const double opening = across / glue.youngs_modulus * t, slip = shear / glue.shear_modulus * t;
  const Eigen::VectorXd u =
      imposed(body.solid,
              [&](const Vector2d &x, int lamination) -> Vector2d
              {
                // Engineering shear as a shift along; depth without the glue counts for the stretch across.
                const double height = x[0] - lamination * t;
                return {e_across * height + lamination * opening, e_along * x[1] + shear / G * height + lamination * slip};
              });
  CheckTable table("Three laminations and two glue lines under one stress", "closed form: traction = stress");
  for (const int line : {0, 1})
  {
    double peel_error = 0., shear_error = 0.;
    for (const LineTraction &point : line_tractions(body.solid, line, u, 10e-3))
    {
      peel_error = std::max({peel_error, std::abs(point.peel / across - 1.), std::abs(point.mean_peel / across - 1.)});
      shear_error = std::max({shear_error, std::abs(point.shear / shear - 1.), std::abs(point.mean_shear / shear - 1.)});
    }
    // Small loads: the second-order part of strains of 1e-6, and rounding of separations of nanometres, remain.
    table.at_most("peel, largest error [1], line " + std::to_string(line), peel_error, 1e-6);
    table.at_most("shear, largest error [1], line " + std::to_string(line), shear_error, 1e-6);
  }
  table.at_most("force inside over force outside [1]", unbalance(body.solid, u), 1e-5);
}

TEST_CASE("Pulled across, laminations and glue give as springs in a row", "[quick]")
{
  constexpr double E = 2e9, t = 0.5e-3, tension = 1e3;
  LimbDescription limb = straight_bar(0.05, 10e-3 + t, 0.02);
  limb.laminations = {full_lamination("elastic", 4e-3, 0., 0.05), full_lamination("elastic", 6e-3, 0., 0.05)};
  limb.glue = {{"glue", t, 0.}};
  Adhesive glue;
  glue.youngs_modulus = 0.1e9;
  glue.shear_modulus = 0.04e9;
  Supports supports;
  supports.nodes = {{0., 6e-3 + t + 4e-3, true, true}, {0.05, 6e-3 + t + 4e-3, false, true}, {0., 0., true, false}};
  Body body(limb, even_mesh(limb, 8, 2), {{"elastic", elastic_material(E, E / 2.)}}, {{"glue", glue}}, PlaneState::stress,
            supports);
  Equilibrium equilibrium({&body.solid}, linear_settings());
  const Loads loads = sum_of({face_traction(body.solid, true, [&](double) { return Vector2d(tension, 0.); }),
                              face_traction(body.solid, false, [&](double) { return Vector2d(-tension, 0.); })});
  const Eigen::VectorXd u = body.solid.space().expand(raise_load(equilibrium, loads, 1).q[0]);
  CheckTable table("Two laminations pulled apart through their glue", "closed form: p (h/E + t/E_glue)");
  for (const double s : {0., 0.02, 0.05})
    table.relative("opening of the stack [m]",
                   u[2 * node_at(body.solid, s, 0., 1)] - u[2 * node_at(body.solid, s, 6e-3 + t + 4e-3, 0)],
                   tension * (10e-3 / E + t / glue.youngs_modulus), 1e-5);
  double least = 1e300, largest = 0.;
  for (const LineTraction &point : line_tractions(body.solid, 0, u, 1e-9))
  {
    least = std::min(least, point.peel);
    largest = std::max(largest, point.peel);
  }
  table.relative("least peel [Pa]", least, tension, 1e-5);
  table.relative("largest peel [Pa]", largest, tension, 1e-5);
}

TEST_CASE("A bar with grain that runs out stretches by the off-axis modulus", "[quick]")
{
  // Sitka spruce, Wood Handbook 2021, tables 5-1 and 5-2; plane of L and R. The pull is spread evenly over both ends, which are
  // free to shear: the stress is then the same everywhere. Held against shear, a short bar would be stiffer.
  const OrthotropicConstants c{11.907e9, 0.92875e9, 0.51200e9, 0.76205e9, 0.72633e9, 0.03572e9, 0.372, 0.467, 0.435};
  constexpr double length = 0.1, thickness = 10e-3, width = 0.02, stress = 1e3;
  Material spruce;
  spruce.constants = c;
  const auto stretch = [&](double angle, PlaneState plane, double &lateral_shift)
  {
    LimbDescription bar = straight_bar(length, thickness, width);
    bar.laminations[0].run_out = StationTable::constant(angle);
    Supports supports;
    supports.nodes = {{0., thickness / 2., true, true}, {length, thickness / 2., false, true}};
    Body body(bar, even_mesh(bar, 8, 2), {{"elastic", spruce}}, {}, plane, supports);
    Equilibrium equilibrium({&body.solid}, linear_settings());
    const double force = stress * thickness * width;
    const Loads loads = sum_of({layer_force(body.solid, 0., 0, {0., -force}), layer_force(body.solid, length, 0, {0., force})});
    const Eigen::VectorXd u = body.solid.space().expand(raise_load(equilibrium, loads, 1).q[0]);
    const auto along = [&](double s, double depth) { return u[2 * node_at(body.solid, s, depth, 0) + 1]; };
    // Held at mid-depth of both ends: all of the shear strain shows in the ends' tilt, back minus belly.
    lateral_shift = (along(length, 0.) - along(length, thickness)) / thickness;
    return (along(length, thickness / 2.) - along(0., thickness / 2.)) / length;
  };
  CheckTable table("Spruce bar under a pull along it", "Wood Handbook constants; transformed compliance");
  double shear = 0.;
  for (const auto &[degrees, modulus] : {std::pair{0., 11907e6}, {5., 10846.4e6}, {10., 8582.0e6}, {30., 2866.5e6}})
  {
    const double strain = stretch(degrees * pi / 180., PlaneState::stress, shear);
    table.relative("modulus at " + std::to_string(static_cast<int>(degrees)) + " degrees [Pa]", stress / strain, modulus, 1e-4);
  }
  const double a = 10. * pi / 180., s = std::sin(a), co = std::cos(a);
  const double S16 = (2. / c.E_L + 2. * c.nu_LR / c.E_L - 1. / c.G_LR) * co * co * co * s -
                     (2. / c.E_R + 2. * c.nu_LR / c.E_L - 1. / c.G_LR) * co * s * s * s;
  stretch(a, PlaneState::stress, shear);
  table.relative("its shear strain at 10 degrees [1]", shear, stress * S16, 1e-4);

  const double strain = stretch(0., PlaneState::strain, shear);
  table.relative("plane strain: modulus along [Pa]", stress / strain,
                 1. / (1. / c.E_L - c.nu_LT * c.nu_LT * c.E_T / (c.E_L * c.E_L)), 1e-5);
}

TEST_CASE("Recovery gives a linear strain back at every node", "[quick]")
{
  // Pure bending and a stretch of a straight bar: strain along = e + kappa x, linear; the displacement is quadratic.
  constexpr double e = 3e-9, kappa = 2e-6;
  LimbDescription bar = straight_bar(0.2, 12e-3, 0.02);
  bar.laminations.assign(2, full_lamination("elastic", 6e-3, 0., 0.2));
  bar.glue.assign(1, {"", 0., 1e15});
  bar.section = {0.7, 1.}; // narrower toward the belly: the fit is weighted, and still exact
  Body body(bar, even_mesh(bar, 9, 2), {{"elastic", elastic_material(10e9, 5e9)}});
  const Eigen::VectorXd u = imposed(body.solid,
                                    [&](const Vector2d &x, int) -> Vector2d {
                                      return {-0.5 * kappa * x[1] * x[1], (e + kappa * x[0]) * x[1]};
                                    });
  const NodalFields fields = recover_nodal_fields(body.solid, u);
  double along = 0., other = 0.;
  for (std::size_t n = 0; n < body.solid.nodes().size(); ++n)
  {
    along = std::max(along, std::abs(fields.strain[n][0] - (e + kappa * place_of(body.solid, n)[0])));
    other = std::max({other, std::abs(fields.strain[n][1]), std::abs(fields.strain[n][2])});
  }
  CheckTable table("Bent and stretched bar", "the strain imposed; squares of slopes of 4e-7 remain");
  const double size = kappa * 6e-3;
  table.at_most("strain along, largest error over its size [1]", along / size, 1e-4);
  table.at_most("other strains over it [1]", other / size, 1e-4);
  for (const SectionFit &fit : {fit_sections(body.solid, fields).front(), fit_sections(body.solid, fields)[5]})
  {
    table.relative("fit at the belly [1]", fit.at(12e-3), e - kappa * 6e-3, 1e-4);
    table.relative("fit at the back [1]", fit.at(0.), e + kappa * 6e-3, 1e-4);
  }
}

TEST_CASE("Means of a linear traction are its values at the middle of their window", "[quick]")
{
  constexpr double length = 0.1, k = 1e12, window = 13e-3;
  LimbDescription bar = straight_bar(length, 8e-3, 0.02);
  bar.laminations.assign(2, full_lamination("elastic", 4e-3, 0., length));
  bar.glue.assign(1, {"", 0., k});
  Body body(bar, even_mesh(bar, 10, 1), {{"elastic", elastic_material(10e9, 5e9)}});
  const auto shear = [](double s) { return 1e4 + 3e5 * s; };
  const auto peel = [](double s) { return 2e4 - 5e5 * s; };
  const Eigen::VectorXd u = imposed(body.solid,
                                    [&](const Vector2d &x, int lamination) -> Vector2d
                                    { return lamination == 0 ? Vector2d(0., 0.) : Vector2d(peel(x[1]) / k, shear(x[1]) / k); });
  CheckTable table("Linear shear and peel along a glue line, means over 13 mm", "the traction imposed");
  // The opening turns the glue's mid-surface by 3e-7, and so much of the shear counts as peel.
  for (const LineTraction &point : line_tractions(body.solid, 0, u, window))
  {
    if (std::abs(point.station - 0.) > 1e-9 && std::abs(point.station - 0.005) > 1e-9 && std::abs(point.station - 0.05) > 1e-9 &&
        std::abs(point.station - length) > 1e-9)
      continue;
    const double centre = std::clamp(point.station, window / 2., length - window / 2.);
    const std::string at = " at " + std::to_string(point.station * 1e3).substr(0, 4) + " mm [Pa]";
    table.relative("shear" + at, point.shear, shear(point.station), 1e-5);
    table.relative("mean shear" + at, point.mean_shear, shear(centre), 1e-5);
    table.relative("mean peel" + at, point.mean_peel, peel(centre), 1e-5);
  }
}
