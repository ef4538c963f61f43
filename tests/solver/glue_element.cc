#include "solver/model/glue_law.h"

#include "support/bodies.h"
#include "support/check_table.h"
#include "support/sampling.h"

#include <Eigen/Geometry>

#include <random>

using namespace limbwright;
using namespace limbwright::checks;

namespace
{
// Three curved, tapering laminations on real glue, nothing held.
LimbDescription curved_limb()
{
  LimbDescription limb = straight_bar(0.5, 12e-3, 0.03);
  limb.profile.lean = {{0., 0.2, 0.5}, {-0.1, 0.1, 0.9}};
  limb.width = {{0., 0.5}, {0.03, 0.012}};
  limb.laminations = {full_lamination("glass", 1e-3, 0., 0.5), full_lamination("core", 8e-3, 0., 0.5),
                      full_lamination("glass", 1e-3, 0., 0.5)};
  limb.laminations[1].thickness = {{0., 0.5}, {8e-3, 4e-3}};
  limb.glue.assign(2, {"glue", 0.2e-3, 0.});
  return limb;
}

std::map<std::string, Material> materials(double softening = 1.)
{
  Material core, glass;
  core.constants = {12e9, 1.2e9, 0.8e9, 0.9e9, 0.7e9, 0.1e9, 0.35, 0.4, 0.6};
  glass.constants = {42e9, 10e9, 10e9, 4e9, 4e9, 3.5e9, 0.26, 0.26, 0.4};
  for (OrthotropicConstants *c : {&core.constants, &glass.constants})
    for (double *modulus : {&c->E_L, &c->E_R, &c->E_T, &c->G_LR, &c->G_LT, &c->G_RT})
      *modulus *= softening;
  return {{"core", core}, {"glass", glass}};
}

std::map<std::string, Adhesive> adhesives()
{
  Adhesive glue;
  glue.youngs_modulus = 3e9;
  glue.shear_modulus = 1.1e9;
  return {{"glue", glue}};
}
} // namespace

namespace
{
// Largest deviation of first and second derivatives from central differences, over the largest entry.
template <int dim>
std::pair<double, double> deviation_of_derivatives()
{
  using Separation = GlueSeparation<dim>;
  std::mt19937 random(7);
  std::uniform_real_distribution<double> some(-1., 1.);
  double gradient_error = 0., hessian_error = 0.;
  for (int trial = 0; trial < 20; ++trial)
  {
    // Separations as large as the tangents are long: far outside what a glue line does, so that every term counts.
    typename Separation::Vector w;
    for (auto &entry : w)
      entry = some(random);
    w.template segment<dim>(dim) *= 1.5 / w.template segment<dim>(dim).norm();
    if constexpr (dim == 3) // the tangents not along each other
    {
      auto h = w.template tail<3>();
      const auto g = w.template segment<3>(3);
      h -= 0.8 * g * g.dot(h) / g.squaredNorm();
      h *= 1.2 / h.norm();
    }
    const Separation here(w);
    const double h = 1e-5;
    decltype(here.gradient) gradient;
    decltype(here.hessian) hessian;
    for (int i = 0; i < Separation::n_variables; ++i)
    {
      const typename Separation::Vector step = h * Separation::Vector::Unit(i);
      const Separation plus(w + step), minus(w - step);
      gradient.row(i) = (plus.apart - minus.apart).transpose() / (2. * h);
      for (int c = 0; c < dim; ++c)
        hessian[c].col(i) = (plus.gradient.col(c) - minus.gradient.col(c)) / (2. * h);
    }
    const auto deviation = [](const auto &a, const auto &b) { return (a - b).cwiseAbs().maxCoeff() / b.cwiseAbs().maxCoeff(); };
    for (int c = 0; c < dim; ++c)
    {
      gradient_error = std::max(gradient_error, deviation(here.gradient.col(c), gradient.col(c)));
      hessian_error = std::max(hessian_error, deviation(here.hessian[c], hessian[c]));
    }
    CHECK((Separation(w, Separation::Derivatives::first).gradient - here.gradient).norm() < 1e-14 * here.gradient.norm());
  }
  return {gradient_error, hessian_error};
}
} // namespace

TEST_CASE("The separation of a glue line has the derivatives it states", "[quick]")
{
  CheckTable table("Opening and slip of a glue line: derivatives, largest deviation over the largest entry",
                   "central differences, step 1e-5 of the tangents' length");
  const auto side_view = deviation_of_derivatives<2>(), solid = deviation_of_derivatives<3>();
  table.at_most("side view, first derivatives [1]", side_view.first, 1e-8);
  table.at_most("side view, second derivatives [1]", side_view.second, 1e-8);
  table.at_most("solid, first derivatives [1]", solid.first, 1e-8);
  table.at_most("solid, second derivatives [1]", solid.second, 1e-8);

  // Straight along y, the back toward x: opening is along x, slip along y, and in a solid across along z.
  const GlueSeparation<2> straight({0.3, 0.2, 0., 2.}, GlueSeparation<2>::Derivatives::none);
  table.absolute("opening [m]", straight.apart[0], 0.3, 1e-15);
  table.absolute("slip [m]", straight.apart[1], 0.2, 1e-15);
  GlueSeparation<3>::Vector w;
  w << 0.3, 0.2, 0.1, 0., 2., 0., 0., 0., 3.;
  const GlueSeparation<3> in_space(w, GlueSeparation<3>::Derivatives::none);
  table.absolute("in a solid: opening [m]", in_space.apart[0], 0.3, 1e-15);
  table.absolute("in a solid: slip along [m]", in_space.apart[1], 0.2, 1e-15);
  table.absolute("in a solid: slip across [m]", in_space.apart[2], 0.1, 1e-15);
}

TEST_CASE("Force is the derivative of the energy, and the tangent that of the force, with glue nearly alone", "[quick]")
{
  // Laminations 1e-6 as stiff as they are: almost all the energy is the glue's.
  const LimbDescription limb = curved_limb();
  Body body(limb, even_mesh(limb, 6, 1), materials(1e-6), adhesives(), PlaneState::stress, Supports{});
  LayeredSolid<2> &solid = body.solid;
  std::mt19937 random(11);
  std::uniform_real_distribution<double> some(-1., 1.);
  const int n = solid.space().n_free();
  const auto any = [&](double size)
  { return Eigen::VectorXd(Eigen::VectorXd::NullaryExpr(n, [&] { return size * some(random); })); };
  // A third of a turn, and separations of half the glue's thickness besides.
  Eigen::VectorXd q = any(0.05e-3);
  const double angle = 2. * pi / 3.;
  const Eigen::Matrix2d turn = Eigen::Rotation2Dd(angle).toRotationMatrix() - Eigen::Matrix2d::Identity();
  Eigen::VectorXd u(n);
  for (std::size_t i = 0; i < solid.nodes().size(); ++i)
    u.segment<2>(2 * i) = turn * Eigen::Vector2d(solid.nodes()[i].place[0], solid.nodes()[i].place[1]);
  q += solid.space().sample(u);

  Eigen::VectorXd force, plus, minus;
  const Eigen::VectorXd nothing = Eigen::VectorXd::Zero(n), direction = any(1.);
  const double h = 1e-9;
  const auto energy = [&](const Eigen::VectorXd &at)
  {
    const auto e = solid.energy(at);
    return e.glue + e.laminations;
  };
  solid.assemble(q + h * direction, nothing, plus);
  solid.assemble(q - h * direction, nothing, minus);
  solid.assemble(q, nothing, force);
  const Eigen::VectorXd tangent_force = solid.tangent().lower().selfadjointView<Eigen::Lower>() * direction;
  const Eigen::VectorXd difference = (plus - minus) / (2. * h);

  CheckTable table("A turned limb with its glue lines pulled about at random", "central differences of energy and force");
  const auto e = solid.energy(q);
  table.at_least("share of the energy in the glue [1]", e.glue / (e.glue + e.laminations), 0.999);
  table.relative("force along a random direction [N]", force.dot(direction),
                 (energy(q + 10. * h * direction) - energy(q - 10. * h * direction)) / (20. * h), 1e-6);
  table.at_most("tangent against force: largest deviation [1]",
                (tangent_force - difference).cwiseAbs().maxCoeff() / difference.cwiseAbs().maxCoeff(), 1e-6);
}

TEST_CASE("A limb turned as a rigid body has no stress, no traction and no energy", "[quick]")
{
  const LimbDescription limb = curved_limb();
  Body body(limb, even_mesh(limb, 20, 2), materials(), adhesives(), PlaneState::stress, Supports{});
  LayeredSolid<2> &solid = body.solid;
  Eigen::VectorXd u(2 * solid.nodes().size());
  for (std::size_t i = 0; i < solid.nodes().size(); ++i)
  {
    // Ninety degrees: (x, y) -> (-y, x), and moved away.
    const auto &place = solid.nodes()[i].place;
    u.segment<2>(2 * i) = Eigen::Vector2d(-place[1] - place[0] + 0.3, place[0] - place[1] - 0.2);
  }
  const Eigen::VectorXd q = solid.space().sample(u), nothing = Eigen::VectorXd::Zero(q.size());
  Eigen::VectorXd at_rest, force;
  solid.assemble(nothing, nothing, at_rest);
  double largest_stiffness = 0.; // [N/m]
  for (Eigen::Index i = 0; i < q.size(); ++i)
    largest_stiffness = std::max(largest_stiffness, solid.tangent().lower().coeff(i, i));
  solid.assemble(q, nothing, force);
  const auto fields = recover_nodal_fields(solid, u);
  double stress = 0., traction = 0.;
  for (const auto &s : fields.stress)
    stress = std::max(stress, s.cwiseAbs().maxCoeff());
  double glue_stiffness = 0.;
  for (const auto &element : solid.glue())
    for (int k = 0; k < 3; ++k)
    {
      glue_stiffness = std::max(glue_stiffness, element.normal_stiffness[k]);
      const auto t = solid.tractions(element, u)[k];
      traction = std::max({traction, std::abs(t.peel), std::abs(t.shear)});
    }
  const auto energy = solid.energy(q);
  const double moved = u.cwiseAbs().maxCoeff();

  CheckTable table("A glued, curved limb turned by 90 degrees", "objectivity: all of these vanish but for rounding");
  table.at_most("at rest: largest force over stiffness times metre [1]", at_rest.cwiseAbs().maxCoeff() / largest_stiffness,
                1e-14);
  table.at_most("largest force over stiffness times way [1]", force.cwiseAbs().maxCoeff() / (largest_stiffness * moved), 1e-12);
  table.at_most("largest stress over the glass's modulus [1]", stress / 42e9, 1e-10);
  table.at_most("largest traction over glue stiffness times way [1]", traction / (glue_stiffness * moved), 1e-12);
  table.at_most("energy over stiffness times way squared [1]",
                (energy.laminations + energy.glue) / (largest_stiffness * moved * moved), 1e-20);
}
