#include "meshing/shape/splits.h"

#include "support/bodies.h"
#include "support/check_table.h"

#include <cmath>
#include <random>

using namespace limbwright;
using namespace limbwright::checks;

namespace
{
// A bar with a slanting split that comes out at the back, filled over a gap, and a wrap over its end.
LimbDescription split_bar()
{
  constexpr double length = 0.2;
  LimbDescription bar = straight_bar(length, 8e-3, 0.03);
  bar.profile.lean = {{0., 0.1, 0.2}, {-0.1, 0.1, 0.5}};
  bar.laminations[0].feather = 0.4e-3;
  Split split;
  split.patch = {0.06, 0.13, 0.7, 1., 0.3e-3, 0., "filler"};
  split.depth = 3e-3;
  split.comes_out = SplitExit::back;
  LimbDescription limb = divided(bar, {split});
  limb.wraps = {{0.1, 0.15, 0.3e-3, 9e9, 2e3}};
  return limb;
}

std::map<std::string, Adhesive> filler()
{
  Adhesive adhesive;
  adhesive.youngs_modulus = 3e9;
  adhesive.shear_modulus = 1.1e9;
  return {{"filler", adhesive}};
}

// E: of the bar [Pa].
template <int dim>
void check_derivatives(const LimbDescription &limb, double E, const MeshSettings &mesh, const char *title)
{
  BodyOf<dim> body(limb, mesh, {{"elastic", elastic_material(E, 0.4 * E, 0.2)}}, filler(), PlaneState::stress, Supports{});
  LayeredSolid<dim> &solid = body.solid;
  std::mt19937 random(3);
  std::uniform_real_distribution<double> some(-1., 1.);
  const int n = solid.space().n_free();
  const auto any = [&](double size)
  { return Eigen::VectorXd(Eigen::VectorXd::NullaryExpr(n, [&] { return size * some(random); })); };
  const Eigen::VectorXd q = any(0.02e-3), nothing = Eigen::VectorXd::Zero(n), direction = any(1.);
  Eigen::VectorXd force, plus, minus;
  const double h = 1e-9;
  solid.assemble(q + h * direction, nothing, plus);
  solid.assemble(q - h * direction, nothing, minus);
  solid.assemble(q, nothing, force);
  const Eigen::VectorXd tangent = solid.tangent().lower().template selfadjointView<Eigen::Lower>() * direction;
  const Eigen::VectorXd difference = (plus - minus) / (2. * h);
  const auto energy = [&](const Eigen::VectorXd &at)
  {
    const auto e = solid.energy(at);
    return e.glue + e.laminations + e.wraps;
  };
  CheckTable table(title, "central differences of energy and force");
  table.relative("force along a random direction [N]", force.dot(direction),
                 (energy(q + 10. * h * direction) - energy(q - 10. * h * direction)) / (20. * h), 1e-6);
  table.at_most("tangent against force: largest deviation [1]",
                (tangent - difference).cwiseAbs().maxCoeff() / difference.cwiseAbs().maxCoeff(), 1e-6);
  table.note("share of the energy in the wraps [1]", solid.energy(q).wraps / energy(q));
}
} // namespace

TEST_CASE("A band pulls and never pushes, and has the tangent of its energy", "[quick]")
{
  const TensionBand band{10e-3, 3e4, 20.};
  CHECK(band.force(10e-3) == Approx(20.));
  CHECK(band.force(11e-3) == Approx(50.));
  CHECK(band.force(9e-3) == 0.);
  CHECK(band.energy(9e-3) == 0.);
  CHECK(band.energy(11e-3) == Approx(0.5 * 50. * 50. / 3e4));
  const Eigen::Vector3d span(6e-3, -7e-3, 5e-3);
  const auto pull = [&](const Eigen::Vector3d &at) { return Eigen::Vector3d(band.force(at.norm()) * at.normalized()); };
  const Eigen::Matrix3d tangent = band.tangent<3>(span, 1.);
  for (int i = 0; i < 3; ++i)
  {
    const Eigen::Vector3d step = 1e-9 * Eigen::Vector3d::Unit(i);
    CHECK((pull(span + step) - pull(span - step)).isApprox(2e-9 * tangent.col(i), 1e-6));
    CHECK((band.energy((span + step).norm()) - band.energy((span - step).norm())) / 2e-9 == Approx(pull(span)[i]).epsilon(1e-6));
  }
  CHECK(band.tangent<2>(Eigen::Vector2d(5e-3, 5e-3), 1.).isZero(0.));
  // Without the part that turns the force only the band's own stiffness is left, along it.
  const Eigen::Vector3d along = span.normalized();
  CHECK(band.tangent<3>(span, 0.).isApprox(3e4 * along * along.transpose(), 1e-14));
}

TEST_CASE("A filled splinter and a wrap: force is the derivative of the energy, the tangent that of the force", "[quick]")
{
  const LimbDescription limb = split_bar();
  MeshSettings solid = even_mesh(limb, 5, 1);
  solid.strips = 1;
  check_derivatives<2>(limb, 1e9, even_mesh(limb, 20, 1), "Side view of a bar with a filled splinter, wrapped");
  check_derivatives<3>(limb, 1e9, solid, "The same as a solid, half of its width");
  // Of a bar that is next to nothing: the wrap alone.
  LimbDescription whole = straight_bar(0.2, 8e-3, 0.03);
  whole.wraps = limb.wraps;
  check_derivatives<2>(whole, 1e3, even_mesh(whole, 20, 1), "Side view of a soft bar, wrapped");
  solid.half_width = false;
  check_derivatives<3>(whole, 1e3, solid, "The same as a solid of the whole width");
}

TEST_CASE("A filled gap is as stiff as what fills it", "[quick]")
{
  // Pulled apart by the filling alone: traction over opening is one over (gap / E + one over the bond's stiffness).
  LimbDescription limb = straight_bar(0.1, 8e-3, 0.03);
  Split split;
  split.patch = {0.02, 0.08, 0.7, 1., 0.3e-3, 0., "filler"};
  split.depth = 3e-3;
  limb = divided(limb, {split});
  Body body(limb, even_mesh(limb, 40, 1), {{"elastic", elastic_material(1e9, 0.4e9)}}, filler());
  for (const auto &element : body.solid.glue())
    for (int k = 0; k < 3; ++k)
    {
      const double s = body.solid.nodes()[element.belly_nodes[k]].station;
      const double gap = s < 0.02 || s > 0.08 ? 0. : 0.15e-3 * (1. - std::cos(2. * pi * (s - 0.02) / 0.06));
      CHECK(element.normal_stiffness[k] == Approx(1. / (1. / whole_wood_stiffness + gap / 3e9)));
      CHECK(element.shear_stiffness[k] == Approx(1. / (1. / whole_wood_stiffness + gap / 1.1e9)));
      CHECK(element.at_rest[k][0] == Approx(gap).epsilon(1e-3).margin(1e-12)); // the faces lean against each other
      CHECK_FALSE(element.open);
    }
}
