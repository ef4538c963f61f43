#include "solver/failure/sideways_motion.h"

#include "support/bodies.h"
#include "support/check_table.h"
#include "support/solid_mesh.h"

#include <Eigen/Geometry>

#include <functional>
#include <random>

using namespace limbwright;
using namespace limbwright::checks;

namespace
{
// A limb that tapers both ways, leans, and is narrower toward its belly: no element is a brick.
LimbDescription distorted_limb()
{
  LimbDescription limb = straight_bar(0.3, 0.012, 0.03);
  limb.profile.lean = {{0., 0.3}, {0.1, 0.5}};
  limb.width = {{0., 0.3}, {0.04, 0.015}};
  limb.section.belly_width_factor = 0.7;
  limb.laminations = {full_lamination("wood", 0.006, 0., 0.3), full_lamination("wood", 0.006, 0., 0.3)};
  limb.laminations[0].thickness = {{0., 0.3}, {0.008, 0.003}};
  return limb;
}

Material wood()
{
  Material material;
  material.name = "wood";
  material.constants = {12e9, 1.3e9, 0.7e9, 0.9e9, 0.8e9, 0.15e9, 0.37, 0.42, 0.45};
  return material;
}

Adhesive soft_glue()
{
  Adhesive glue;
  glue.youngs_modulus = 3e9;
  glue.shear_modulus = 1.1e9;
  return glue;
}

std::map<std::string, Adhesive> glue_table()
{
  return {{"glue", soft_glue()}};
}

LimbDescription glued_limb()
{
  LimbDescription limb = distorted_limb();
  limb.glue = {{"glue", 1e-4, 0., false}};
  return limb;
}

LimbDescription one_piece()
{
  LimbDescription limb = distorted_limb();
  limb.laminations.pop_back();
  limb.laminations[0].material = "even";
  return limb;
}

Eigen::VectorXd imposed(const LayeredSolid<3> &solid, const std::function<Eigen::Vector3d(const Eigen::Vector3d &)> &field)
{
  Eigen::VectorXd u(3 * static_cast<Eigen::Index>(solid.nodes().size()));
  for (std::size_t i = 0; i < solid.nodes().size(); ++i)
    u.segment<3>(3 * static_cast<Eigen::Index>(i)) = field(Eigen::Map<const Eigen::Vector3d>(solid.nodes()[i].place.data()));
  return u;
}

Eigen::VectorXd some_displacement(int n, double size)
{
  std::mt19937 random(3);
  std::uniform_real_distribution<double> some(-size, size);
  Eigen::VectorXd q(n);
  for (double &entry : q)
    entry = some(random);
  return q;
}
} // namespace

TEST_CASE("A solid of distorted elements bears a uniform strain", "[quick]")
{
  const double E = 10e9, nu = 0.3;
  const LimbDescription limb = one_piece();
  SolidBody body(limb, solid_mesh(limb, 5, 2, 2, false), {{"even", elastic_material(E, E / (2. * (1. + nu)), nu)}}, {},
                 PlaneState::stress, Supports{});
  Eigen::Matrix3d H;
  H << 1., .4, -.3, .2, -.8, .6, .5, .1, .3;
  H *= 2e-3;
  const Eigen::Matrix3d green = 0.5 * (H + H.transpose() + H.transpose() * H);
  const Eigen::VectorXd u = imposed(body.solid, [&](const Eigen::Vector3d &x) -> Eigen::Vector3d { return H * x; });

  double strain_error = 0.;
  for (const auto &cell : body.solid.cells())
    for (const auto &strain : body.solid.gauss_strains(cell, u))
    {
      // Alike in all axes: the trace, and the square of the tensor's size.
      const double trace = strain[0] + strain[1] + strain[2];
      const double square = strain.head<3>().squaredNorm() + 0.5 * strain.tail<3>().squaredNorm();
      strain_error = std::max({strain_error, std::abs(trace / green.trace() - 1.), std::abs(square / green.squaredNorm() - 1.)});
    }
  Eigen::VectorXd force;
  body.solid.assemble(u, u * 0., force);
  double inside = 0.;
  for (std::size_t i = 0; i < body.solid.nodes().size(); ++i)
  {
    const auto &node = body.solid.nodes()[i];
    const double face = body.solid.shape().outer_back_depth(node.station),
                 belly = body.solid.shape().outer_belly_depth(node.station);
    if (node.station > 1e-6 && node.station < limb.tip_station - 1e-6 && std::abs(node.across) < 0.99 &&
        node.depth > face + 1e-6 && node.depth < belly - 1e-6)
      inside = std::max(inside, force.segment<3>(3 * static_cast<Eigen::Index>(i)).norm());
  }
  CheckTable table("Patch test of the solid limb", "exact: a uniform strain leaves no force at a node inside");
  table.at_most("strain, largest deviation [1]", strain_error, 1e-11);
  table.at_most("force at nodes inside over the largest [1]", inside / force.lpNorm<Eigen::Infinity>(), 1e-11);
}

TEST_CASE("A solid limb turned as a rigid body has no force and no energy", "[quick]")
{
  const LimbDescription limb = glued_limb();
  SolidBody body(limb, solid_mesh(limb, 4, 1, 1, false), {{"wood", wood()}}, glue_table(), PlaneState::stress, Supports{});
  const Eigen::Matrix3d turn = (Eigen::AngleAxisd(0.8, Eigen::Vector3d(1., 2., -0.5).normalized())).toRotationMatrix();
  const Eigen::VectorXd u = imposed(
      body.solid, [&](const Eigen::Vector3d &x) -> Eigen::Vector3d { return turn * x - x + Eigen::Vector3d(.1, .2, .3); });
  Eigen::VectorXd force;
  body.solid.assemble(u, u * 0., force);
  const auto energy = body.solid.energy(u);
  CheckTable table("Solid limb turned as a rigid body", "exact: nothing");
  // Against a pull of one newton on a limb some 1e7 N stiff.
  table.at_most("largest force [N]", force.lpNorm<Eigen::Infinity>(), 1e-4);
  table.at_most("energy of laminations and glue [J]", energy.laminations + energy.glue, 1e-12);
}

TEST_CASE("Force is the derivative of a solid limb's energy, and the tangent that of the force", "[quick]")
{
  const LimbDescription limb = glued_limb();
  SolidBody body(limb, solid_mesh(limb, 3, 1, 1, false), {{"wood", wood()}}, glue_table());
  LayeredSolid<3> &solid = body.solid;
  const bool yields = GENERATE(false, true);
  if (yields)
  {
    CrushingLaw law;
    law.yield = 30e6;
    law.strength = 40e6;
    law.hardening_strain = 2e-3;
    solid.let_crush({law, std::nullopt});
  }
  const int n = solid.space().n_free();
  const Eigen::VectorXd none = Eigen::VectorXd::Zero(n), q = some_displacement(n, yields ? 2e-4 : 2e-5),
                        way = some_displacement(n, 1.).reverse();
  const double h = 1e-9;
  Eigen::VectorXd force, plus, minus;
  solid.assemble(q + h * way, none, plus);
  solid.assemble(q - h * way, none, minus);
  solid.assemble(q, none, force);
  const Eigen::VectorXd by_tangent = solid.tangent().lower().selfadjointView<Eigen::Lower>() * way;
  const Eigen::VectorXd by_difference = (plus - minus) / (2. * h);
  CheckTable table("Solid limb: derivatives, yielding wood: " + std::string(yields ? "yes" : "no"), "central differences");
  table.at_most("tangent [1]", (by_tangent - by_difference).norm() / by_difference.norm(), 1e-6);
  if (!yields)
  {
    const double step = 1e-7;
    const auto total = [&](const Eigen::VectorXd &at) { return solid.energy(at).laminations + solid.energy(at).glue; };
    const double slope = (total(q + step * way) - total(q - step * way)) / (2. * step);
    table.relative("force along a way [N]", force.dot(way), slope, 1e-6);
  }
}

TEST_CASE("The twist of a solid is that about its bent line, however far the limb has turned", "[quick]")
{
  // Every section is moved as a rigid plane: twisted about its own line, turned sideways about its own normal, turned by up to
  // 70 degrees in the plane of the draw as a drawn limb is, and displaced.
  SolidBody body(glued_limb(), solid_mesh(glued_limb(), 4, 1, 2, false), {{"wood", wood()}}, glue_table(), PlaneState::stress,
                 Supports{});
  const auto &solid = body.solid;
  const double drift = 2e-3, twist = 0.15, sideways = -0.05;
  Eigen::VectorXd u(3 * static_cast<Eigen::Index>(solid.nodes().size()));
  CheckTable table("Twist and drift of a solid's sections", "exact: what was imposed");
  for (const double station : solid.column_stations())
  {
    const auto shares = solid.section_shares(station);
    const double lean = solid.shape().lean(station), turned = -1.2 * station / 0.3;
    const Eigen::Vector3d along(std::sin(lean), std::cos(lean), 0.), back(std::cos(lean), -std::sin(lean), 0.);
    const Eigen::Matrix3d turn = (Eigen::AngleAxisd(turned, Eigen::Vector3d::UnitZ()) * Eigen::AngleAxisd(sideways, back) *
                                  Eigen::AngleAxisd(twist * station / 0.3, along))
                                     .toRotationMatrix();
    Eigen::Vector3d middle = Eigen::Vector3d::Zero();
    const auto at = [&](int node) { return Eigen::Map<const Eigen::Vector3d>(solid.nodes()[node].place.data()); };
    for (const auto &[node, share] : shares)
      middle += share * at(node);
    for (const auto &[node, share] : shares)
      u.segment<3>(3 * node) = turn * (at(node) - middle) + middle + Eigen::Vector3d(-0.1, 0.05, drift) - at(node);
    const SidewaysMotion motion = sideways_motion(solid, station, shares, u);
    table.absolute("drift [m]", motion.drift, drift, 1e-15);
    table.absolute("twist [rad]", motion.twist, twist * station / 0.3, 1e-12);
  }
}
