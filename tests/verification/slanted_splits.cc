// Bars with a split that slants across the width, as solids.

#include "meshing/shape/mending.h"
#include "support/check_table.h"
#include "support/solid_mesh.h"
#include "support/split_bar.h"

#include <cmath>

using namespace limbwright;
using namespace limbwright::checks;

namespace
{
constexpr double E = SplitBar::E, length = SplitBar::length, width = SplitBar::width, thickness = SplitBar::thickness;

// Mean displacement of the pieces at the tip [m], from the belly to the back.
std::vector<Eigen::Vector3d> tips(const SolidBody &body, const State &state)
{
  const Eigen::VectorXd u = body.solid.space().expand(state.q[0]);
  std::vector<Eigen::Vector3d> moved(body.solid.shape().n_laminations(), Eigen::Vector3d::Zero());
  std::vector<double> area(moved.size(), 0.);
  for (const auto &[node, share] : body.solid.section_shares(length))
  {
    const auto piece = static_cast<std::size_t>(body.solid.nodes()[node].lamination);
    moved[piece] += share * u.segment<3>(3 * node);
    area[piece] += share;
  }
  for (std::size_t i = 0; i < moved.size(); ++i)
    moved[i] /= area[i];
  return moved;
}

// A force [N] on each piece's end section, even over it.
Loads on_tips(const SolidBody &body, const std::vector<Eigen::Vector3d> &forces)
{
  Eigen::VectorXd force = Eigen::VectorXd::Zero(3 * static_cast<Eigen::Index>(body.solid.nodes().size()));
  std::vector<double> area(forces.size(), 0.);
  const auto shares = body.solid.section_shares(length);
  const auto piece_of = [&](int node) { return static_cast<std::size_t>(body.solid.nodes()[node].lamination); };
  for (const auto &[node, share] : shares)
    area[piece_of(node)] += share;
  for (const auto &[node, share] : shares)
    force.segment<3>(3 * node) = share / area[piece_of(node)] * forces[piece_of(node)];
  const Eigen::VectorXd on_free = body.solid.space().restrict_to_free(force);
  return [on_free](const State &, double parameter, CoupledSystem &system)
  {
    system.residual[0] -= parameter * on_free;
    system.residual_rate[0] -= on_free;
  };
}

// Tips of a bar pulled down at its end, and sideways.
std::vector<Eigen::Vector3d> bent(const LimbDescription &limb, const Material &wood, int columns)
{
  SolidBody body(limb, solid_mesh(limb, columns, 2, 2, false), {{"elastic", wood}});
  Equilibrium equilibrium({&body.solid}, {});
  const SectionForce end(body.solid, length, 0.5 * thickness);
  return tips(body, raise_load(equilibrium, end.dead_in_space({-10., 0., 3.}), 1));
}
} // namespace

TEST_CASE("A slanting split that holds as whole wood changes nothing", "[verification]")
{
  const double slant = 12. * pi / 180.;
  Split holds = split_at(0.15, 0.22, 4e-3, slant);
  holds.slope = 0.02;
  holds.patch.strength = 1.;
  Material wood = elastic_material(E, 0.8e9, 0.3);
  wood.constants.E_R = wood.constants.E_T = 1e9;
  CheckTable table("Tip of a bar pulled toward its belly and sideways", "the same bar without the split, or with a square one");
  const auto with = bent(divided(SplitBar::whole(), {holds}), wood, 40);
  const auto same = bent(sound(divided(SplitBar::whole(), {holds})), wood, 40);
  holds.slant = 0.;
  const auto square = bent(divided(SplitBar::whole(), {holds}), wood, 40);
  const auto whole = bent(SplitBar::whole(), wood, 40);
  const auto mean = [](const std::vector<Eigen::Vector3d> &list) { return list.front() + 0.4 * (list.back() - list.front()); };
  table.relative("toward the belly, told sound [m]", mean(same).x(), mean(with).x(), 1e-10);
  // Of other elements: slanting ones are as good.
  table.relative("toward the belly, square [m]", mean(with).x(), mean(square).x(), 1e-4);
  table.relative("sideways, square [m]", mean(with).z(), mean(square).z(), 1e-4);
  // In one piece there are half as many rows, which moves a bar that warps more than the slant does.
  table.relative("toward the belly, in one piece [m]", mean(with).x(), whole[0].x(), 5e-4);
  table.relative("sideways, in one piece [m]", mean(with).z(), whole[0].z(), 5e-4);
}

TEST_CASE("A bar split from end to end at a slant is two beams of trapezoidal section", "[verification]")
{
  // Each is a slender cantilever whose section's axes lean, so that it moves sideways too: d^2 u_d/ds^2 = M I_zz/(E (I_dd I_zz -
  // I_dz^2)) (Timoshenko and Goodier 1970, art. 108, of unsymmetrical bending; moments of the trapezoid by integration). Stiff in
  // shear: nothing twists.
  constexpr double force = 0.5, depth = 4e-3;
  const double slope = std::tan(8. * pi / 180.);
  struct Moments
  {
    double area = 0., d = 0., z = 0., dd = 0., zz = 0., dz = 0.;
  };
  const auto moments = [&](bool back)
  {
    Moments m;
    constexpr int n = 2000;
    for (int i = 0; i < n; ++i)
    {
      const double z = width * ((i + 0.5) / n - 0.5), cut = depth - slope * z;
      const double from = back ? 0. : cut, to = back ? cut : thickness, slice = width / n;
      m.area += slice * (to - from);
      m.d += slice * (to * to - from * from) / 2.;
      m.z += slice * (to - from) * z;
      m.dd += slice * (std::pow(to, 3) - std::pow(from, 3)) / 3.;
      m.zz += slice * (to - from) * z * z;
      m.dz += slice * (to * to - from * from) / 2. * z;
    }
    m.dd -= m.d * m.d / m.area;
    m.zz -= m.z * m.z / m.area;
    m.dz -= m.d * m.z / m.area;
    return m;
  };
  const LimbDescription limb = divided(SplitBar::whole(), {split_at(0., length, depth, std::atan(slope))});
  const Supports each_held{{{0., true, true, false, true}}, {}};
  CheckTable table("A bar split from end to end at 8 degrees, its tips pulled apart by half a newton",
                   "cantilevers in unsymmetrical bending: Timoshenko and Goodier 1970, art. 108 (from memory)");
  std::vector<Eigen::Vector3d> moved;
  for (const int columns : {20, 40})
  {
    SolidBody body(limb, solid_mesh(limb, columns, 2, 1, false), {{"elastic", elastic_material(E, 1e3 * E)}}, {},
                   PlaneState::stress, each_held);
    Equilibrium equilibrium({&body.solid}, {});
    moved = tips(body, raise_load(equilibrium, on_tips(body, {{-force, 0., 0.}, {force, 0., 0.}}), 1));
    for (const bool back : {false, true})
    {
      const Moments m = moments(back);
      const double common = force * std::pow(length, 3) / (3. * E) / (m.dd * m.zz - m.dz * m.dz) * (back ? -1. : 1.);
      const std::string name = (back ? "back piece, " : "belly piece, ") + std::to_string(columns) + " columns, ";
      // d is toward the belly, x toward the back.
      table.relative(name + "away [m]", moved[back].x(), -common * m.zz, 5e-3);
      table.relative("  sideways [m]", moved[back].z(), -common * m.dz, 1e-2);
    }
  }
  // The mirror image.
  const LimbDescription mirrored = divided(SplitBar::whole(), {split_at(0., length, depth, -std::atan(slope))});
  SolidBody body(mirrored, solid_mesh(mirrored, 40, 2, 1, false), {{"elastic", elastic_material(E, 1e3 * E)}}, {},
                 PlaneState::stress, each_held);
  Equilibrium equilibrium({&body.solid}, {});
  const auto other = tips(body, raise_load(equilibrium, on_tips(body, {{-force, 0., 0.}, {force, 0., 0.}}), 1));
  for (const int piece : {0, 1})
  {
    table.relative("mirrored: away [m]", other[piece].x(), moved[piece].x(), 1e-7);
    table.relative("mirrored: sideways [m]", other[piece].z(), -moved[piece].z(), 1e-7);
  }
}
