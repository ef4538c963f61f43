#include "solver/stages/bow_string.h"

#include "support/bodies.h"
#include "support/check_table.h"

#include <algorithm>
#include <array>
#include <random>
#include <vector>

using namespace limbwright;
using namespace limbwright::checks;

namespace
{
// Cantilever, dead load across its end.
constexpr double length = 1., width = 0.01, youngs_modulus = 10e9;

struct Cantilever
{
  Body body;
  SectionForce end;

  explicit Cantilever(double thickness)
      : body(straight_bar(length, thickness, width), even_mesh(straight_bar(length, thickness, width), 40, 1),
             {{"elastic", elastic_material(youngs_modulus, youngs_modulus / 2.)}}),
        end(body.solid, length, thickness / 2.)
  {
  }

  // From nothing to P L^2/EI = load in one step.
  NewtonResult solve_in_one_step(double load, const NewtonSettings &settings)
  {
    const double thickness = body.mesh.shape().stack(0.);
    const double force = load * youngs_modulus * width * std::pow(thickness, 3) / 12. / (length * length);
    Equilibrium equilibrium({&body.solid}, settings);
    State state = equilibrium.zero(0);
    return equilibrium.solve(state, state, 1., end.dead({-force, 0.}));
  }
};
} // namespace

TEST_CASE("Newton's method ends with quadratic convergence", "[verification]")
{
  for (const bool mixed_point : {false, true})
    for (const double load : {1., 10.})
    {
      // On down to rounding, which the smallest residual shows. A thicker bar than below: stretch and bending of a very slender
      // one are so far apart in stiffness that the residuals of plain Newton go up and down by turns.
      NewtonSettings settings;
      settings.mixed_point = mixed_point;
      settings.tolerance = settings.step_tolerance = 0.;
      settings.max_iterations = 20;
      Cantilever cantilever(length / 20.);
      const auto r = cantilever.solve_in_one_step(load, settings).residuals;
      const double rounding = *std::min_element(r.begin(), r.end());
      CheckTable table((mixed_point ? "Mixed-point" : "Plain") + std::string(" Newton, cantilever to P L^2/EI = ") +
                           std::to_string(load).substr(0, 4) + " in one step",
                       "order 2 of Newton's method, from the last three residuals over 100 times the smallest");
      std::size_t last = r.size() - 1;
      while (r[last] < 100. * rounding && last > 0)
        --last;
      REQUIRE(last >= 3);
      for (std::size_t i = 0; i <= last + 1 && i < r.size(); ++i)
        table.note("residual [N] at iteration " + std::to_string(i), r[i]);
      table.at_most("smallest residual over the largest [1]", rounding / *std::max_element(r.begin(), r.end()), 1e-10);
      // The residual is not yet small where three are left above rounding, so that 2 shows as somewhat less; 1 would be linear.
      table.at_least("order of convergence [1]", std::log(r[last] / r[last - 1]) / std::log(r[last - 1] / r[last - 2]), 1.65);
    }
}

TEST_CASE("Mixed-point Newton needs fewer iterations than plain Newton in one large step", "[verification]")
{
  std::array<int, 2> iterations{};
  for (const bool mixed_point : {false, true})
  {
    NewtonSettings settings;
    settings.mixed_point = mixed_point;
    settings.max_iterations = 200;
    Cantilever cantilever(length / 200.);
    const NewtonResult result = cantilever.solve_in_one_step(10., settings);
    INFO(result.reason);
    REQUIRE(result.converged);
    iterations[mixed_point ? 1 : 0] = result.iterations;
  }
  CheckTable table("Iterations, cantilever to P L^2/EI = 10 in one step", "counts, plain Newton's as the bound");
  table.note("plain Newton", iterations[0]);
  table.at_most("mixed-point Newton", iterations[1], iterations[0] - 1.);
  // Counted once with these settings; another machine may round differently, hence a bound and no equality.
  table.at_most("mixed-point Newton", iterations[1], 15.);
}

namespace
{
Material layer(double E_L, double E_R, double G_LR, double nu_LR)
{
  Material material;
  material.constants = {E_L, E_R, E_R, G_LR, G_LR, G_LR / 5., nu_LR, nu_LR, 0.4};
  return material;
}

// A short curved, tapered limb of three laminations, the grain of the core running out; glue lines with and without thickness.
// scale multiplies the laminations' moduli.
struct CurvedSample
{
  LimbDescription limb;
  std::map<std::string, Material> materials;
  std::map<std::string, Adhesive> adhesives;
  std::optional<Body> body;
  std::optional<SectionForce> force;
  std::optional<SectionMoment> moment;

  explicit CurvedSample(double scale)
  {
    limb.root_station = 0.1;
    limb.tip_station = 0.22;
    limb.root_back_x = 0.02;
    limb.root_back_y = 0.1;
    limb.profile.lean = {{0.1, 0.16, 0.22}, {0.1, -0.1, 0.3}};
    limb.width = {{0.1, 0.22}, {0.03, 0.02}};
    limb.laminations = {full_lamination("glass", 1e-3, 0.1, 0.22), full_lamination("wood", 5e-3, 0.1, 0.22),
                        full_lamination("glass", 1.5e-3, 0.1, 0.22)};
    limb.laminations[1].thickness = {{0.1, 0.22}, {5e-3, 3e-3}};
    limb.laminations[1].run_out = StationTable::constant(0.07);
    limb.glue = {{"epoxy", 0.1e-3, 0.}, {"epoxy", 0., 5e12}};
    limb.nock = {0.22, 0.8};
    materials["glass"] = layer(40e9 * scale, 10e9 * scale, 4e9 * scale, 0.26);
    materials["wood"] = layer(12e9 * scale, 1.2e9 * scale, 0.9e9 * scale, 0.35);
    Adhesive epoxy;
    epoxy.youngs_modulus = 3e9;
    epoxy.shear_modulus = 1.1e9;
    adhesives["epoxy"] = epoxy;
    body.emplace(limb, even_mesh(limb, 6, 1), materials, adhesives);
    force.emplace(body->solid, limb.tip_station, 2e-3);
    moment.emplace(body->solid, limb.tip_station);
  }

  // Every section turned toward the archer, the last by 1.2 rad, the back keeping its length; then every unknown displaced at
  // random by up to 2 micrometres, which strains cells and glue lines in every way.
  State bent() const
  {
    const auto &solid = body->solid;
    const LimbShape &shape = solid.shape();
    const auto lean = [&](double s)
    { return shape.lean(s) - 1.2 * (s - limb.root_station) / (limb.tip_station - limb.root_station); };
    Eigen::VectorXd u(solid.space().n_dofs());
    for (std::size_t i = 0; i < solid.nodes().size(); ++i)
    {
      const auto &node = solid.nodes()[i];
      Eigen::Vector2d place(limb.root_back_x, limb.root_back_y);
      constexpr int n_parts = 100;
      const double part = (node.station - limb.root_station) / n_parts;
      for (int k = 0; k < n_parts; ++k)
      {
        const double l = lean(limb.root_station + (k + 0.5) * part);
        place += part * Eigen::Vector2d(std::sin(l), std::cos(l));
      }
      const double l = lean(node.station);
      place += node.depth * Eigen::Vector2d(-std::cos(l), std::sin(l));
      u.segment<2>(2 * static_cast<Eigen::Index>(i)) = place - Eigen::Vector2d(node.place[0], node.place[1]);
    }
    State state{{solid.space().sample(u)}, Eigen::VectorXd(0)};
    std::mt19937 random(7);
    std::uniform_real_distribution<double> amount(-2e-6, 2e-6);
    for (double &q : state.q[0])
      q += amount(random);
    return state;
  }

  // An assembly fixes the pattern of the tangent, which the loads alone need as well.
  void assemble()
  {
    const Eigen::VectorXd zero = Eigen::VectorXd::Zero(body->solid.space().n_free());
    Eigen::VectorXd internal = zero;
    body->solid.assemble(zero, zero, internal);
  }
};

// Solids and what acts on them. The tangents are zero.
CoupledSystem empty_system(const std::vector<LimbModel *> &solids, int n_scalars)
{
  CoupledSystem system;
  for (auto *solid : solids)
  {
    const int n = solid->space().n_free();
    system.residual.push_back(Eigen::VectorXd::Zero(n));
    system.residual_rate.push_back(Eigen::VectorXd::Zero(n));
    system.columns.push_back(Eigen::MatrixXd::Zero(n, n_scalars));
    system.rows.push_back(Eigen::MatrixXd::Zero(n, n_scalars));
    solid->tangent().set_zero();
    system.tangent.push_back(&solid->tangent());
  }
  system.corner = Eigen::MatrixXd::Zero(n_scalars, n_scalars);
  system.constraint = system.constraint_rate = Eigen::VectorXd::Zero(n_scalars);
  return system;
}

// Relative difference of derivatives from central differences, largest over parts or constraints and random directions.
struct Deviation
{
  double residual = 0., constraint = 0.;
  double residual_by_parameter = 0., constraint_by_parameter = 0.;
};

double relative_difference(const Eigen::VectorXd &value, const Eigen::VectorXd &reference)
{
  return (value - reference).norm() == 0. ? 0. : (value - reference).norm() / reference.norm();
}

// Each entry by itself: entries have different units.
double relative_by_entry(const Eigen::VectorXd &value, const Eigen::VectorXd &reference)
{
  double largest = 0.;
  for (Eigen::Index i = 0; i < value.size(); ++i)
    largest = std::max(largest, relative_difference(value.segment<1>(i), reference.segment<1>(i)));
  return largest;
}

// evaluate: the system at a state and a parameter, its tangents filled anew. Steps: epsilon [m] for displacements, epsilon times
// scalar_sizes for the scalars, epsilon for the parameter.
template <class Evaluate>
Deviation deviation(const Evaluate &evaluate, const State &state, double parameter, double epsilon,
                    const Eigen::VectorXd &scalar_sizes)
{
  Deviation largest;
  std::mt19937 random(11);
  std::uniform_real_distribution<double> amount(-1., 1.);
  for (int direction = 0; direction < 6; ++direction)
  {
    State step = state * 0.;
    for (auto &part : step.q)
      for (double &q : part)
        q = amount(random);
    for (Eigen::Index i = 0; i < step.scalars.size(); ++i)
      step.scalars[i] = scalar_sizes[i] * amount(random);

    std::vector<Eigen::VectorXd> by_residual;
    const CoupledSystem system = evaluate(state, parameter);
    Eigen::VectorXd by_constraint = system.corner * step.scalars;
    for (std::size_t p = 0; p < step.q.size(); ++p)
    {
      const Eigen::SparseMatrix<double> &lower = system.tangent[p]->lower();
      by_residual.push_back(lower.selfadjointView<Eigen::Lower>() * step.q[p] + system.columns[p] * step.scalars);
      by_constraint += system.rows[p].transpose() * step.q[p];
    }
    const CoupledSystem plus = evaluate(state + step * epsilon, parameter), minus = evaluate(state - step * epsilon, parameter);
    for (std::size_t p = 0; p < step.q.size(); ++p)
      largest.residual = std::max(largest.residual,
                                  relative_difference(by_residual[p], (plus.residual[p] - minus.residual[p]) / (2. * epsilon)));
    largest.constraint =
        std::max(largest.constraint, relative_by_entry(by_constraint, (plus.constraint - minus.constraint) / (2. * epsilon)));
  }
  const CoupledSystem system = evaluate(state, parameter), plus = evaluate(state, parameter + epsilon),
                      minus = evaluate(state, parameter - epsilon);
  for (std::size_t p = 0; p < state.q.size(); ++p)
    largest.residual_by_parameter =
        std::max(largest.residual_by_parameter,
                 relative_difference(system.residual_rate[p], (plus.residual[p] - minus.residual[p]) / (2. * epsilon)));
  largest.constraint_by_parameter =
      relative_by_entry(system.constraint_rate, (plus.constraint - minus.constraint) / (2. * epsilon));
  return largest;
}

// The loads by themselves, since beside the laminations' stiffness theirs would not show.
void check_loads(CheckTable &table, const std::string &what, const std::vector<LimbModel *> &solids, const Loads &loads,
                 const State &state, double parameter)
{
  const int n_scalars = static_cast<int>(state.scalars.size());
  const auto loads_alone = [&](const State &at, double level)
  {
    CoupledSystem system = empty_system(solids, n_scalars);
    loads(at, level, system);
    return system;
  };
  // Tensions in steps of 1e-4 N, a height or a turn in steps of 1e-6.
  Eigen::VectorXd sizes = Eigen::VectorXd::Constant(n_scalars, 100.);
  if (n_scalars == 4)
    sizes.tail<2>().setOnes();
  const Deviation found = deviation(loads_alone, state, parameter, 1e-6, sizes);
  table.absolute(what, found.residual, 0., 1e-6);
  table.absolute(what + ": by the parameter", found.residual_by_parameter, 0., 1e-6);
  if (n_scalars > 0)
  {
    table.absolute(what + ": constraints", found.constraint, 0., 1e-6);
    table.absolute(what + ": constraints by the parameter", found.constraint_by_parameter, 0., 1e-6);
  }
}

// Laminations and glue by themselves.
double deviation_of_solid(LayeredSolid<2> &solid, const State &state)
{
  const auto solid_alone = [&](const State &at, double)
  {
    CoupledSystem system = empty_system({&solid}, 0);
    solid.assemble(at.q[0], Eigen::VectorXd::Zero(at.q[0].size()), system.residual[0]);
    return system;
  };
  return deviation(solid_alone, state, 0., 1e-8, Eigen::VectorXd(0)).residual;
}

State with_scalars(State state, const Eigen::VectorXd &scalars)
{
  state.scalars = scalars;
  return state;
}
} // namespace

TEST_CASE("Tangents of laminations, glue and loads are the derivatives of the residual", "[quick]")
{
  CheckTable table("Tangents against central differences, curved layered sample bent by more than a radian",
                   "central differences of the residual");
  CurvedSample sample(1.);
  auto &solid = sample.body->solid;
  sample.assemble();
  const State bent = sample.bent();
  table.at_least("turn of the end [rad]", sample.moment->turn(bent), 1.);
  table.absolute("laminations and glue", deviation_of_solid(solid, bent), 0., 1e-6);
  CurvedSample soft(1e-12); // laminations of next to no stiffness leave the glue by itself
  soft.assemble();
  table.absolute("glue", deviation_of_solid(soft.body->solid, bent), 0., 1e-6);
  check_loads(table, "end moment", {&solid}, sample.moment->moment(60.), bent, 0.8);
  check_loads(table, "dead load", {&solid}, sample.force->dead({-200., 300.}), bent, 0.8);
  check_loads(table, "held point", {&solid}, sample.force->held({0.6, 0.8}, 0),
              with_scalars(bent, Eigen::VectorXd::Constant(1, 300.)), 0.01);

  // The force is the gradient of the stored energy.
  std::mt19937 random(5);
  std::uniform_real_distribution<double> amount(-1., 1.);
  Eigen::VectorXd step(bent.q[0].size()), force = Eigen::VectorXd::Zero(bent.q[0].size());
  for (double &q : step)
    q = amount(random);
  solid.assemble(bent.q[0], Eigen::VectorXd::Zero(step.size()), force);
  const double epsilon = 1e-8;
  const auto plus = solid.energy(bent.q[0] + epsilon * step), minus = solid.energy(bent.q[0] - epsilon * step);
  const double slope = (plus.laminations + plus.glue - minus.laminations - minus.glue) / (2. * epsilon);
  table.relative("internal force along a direction [N]", force.dot(step), slope, 1e-6);
}

TEST_CASE("A limb that is slowed from rest bears its elastic stress once more for every unit of the time", "[quick]")
{
  CheckTable table("Kelvin-Voigt solid in one implicit step, curved layered sample", "definition of the step: S + C : E/time");
  CurvedSample sample(1.), soft(1e-12); // the latter: glue by itself
  auto &solid = sample.body->solid;
  sample.assemble();
  soft.assemble();
  const State bent = sample.bent();
  const Eigen::VectorXd &q = bent.q[0], at_rest = Eigen::VectorXd::Zero(q.size());
  const auto force = [&](LimbModel &model)
  {
    Eigen::VectorXd sum;
    model.assemble(q, at_rest, sum);
    return sum;
  };
  const Eigen::VectorXd elastic = force(solid), glue = force(soft.body->solid);
  const double time = 0.25; // [1]
  solid.slow_from(at_rest, time);
  table.absolute("force of the laminations", relative_difference(force(solid) - glue, (1. + 1. / time) * (elastic - glue)), 0.,
                 1e-9);
  table.absolute("tangent against central differences", deviation_of_solid(solid, bent), 0., 1e-6);
  solid.slow_from(q, time);
  table.absolute("force where it does not move", relative_difference(force(solid), elastic), 0., 1e-12);
  solid.slow_no_more();
  table.absolute("force when it is slowed no more", relative_difference(force(solid), elastic), 0., 0.);
}

TEST_CASE("Tangents of the string are the derivatives of its forces and constraints", "[quick]")
{
  CheckTable table("String, tangents against central differences", "central differences of forces and constraints");
  {
    CurvedSample sample(1.);
    auto &solid = sample.body->solid;
    StringSeat seat;
    seat.station = sample.limb.tip_station;
    seat.depth = 4e-3;
    seat.contact_from = 0.15;
    const BowString string({&solid}, {seat}, 4e4, {});
    sample.assemble();
    const State bent = with_scalars(sample.bent(), Eigen::VectorXd::Constant(1, 300.));
    CHECK(string.path(bent, 0.25, 0).contact_length == 0.);
    check_loads(table, "stringing", {&solid}, string.bracing(0.12), bent, -0.1);
    check_loads(table, "drawing", {&solid}, string.drawing({0.15}), bent, 0.25);
    check_loads(table, "letting go", {&solid}, string.releasing(0.12, {250.}), bent, 0.4);
    // Drawn from the limb's own line, the string of the unbent limb runs round its belly.
    const State straight = with_scalars(bent * 0., Eigen::VectorXd::Constant(1, 300.));
    CHECK(string.path(straight, 0., 0).contact_length > 0.);
    check_loads(table, "stringing, on the belly", {&solid}, string.bracing(0.), straight, -0.1);
    check_loads(table, "drawing, on the belly", {&solid}, string.drawing({0.15}), straight, 0.);
  }
  {
    // Two limbs, the lower one made differently; the nocking point free along the fingers, the handle free to rock.
    CurvedSample upper(1.), lower(0.5);
    const std::vector<LimbModel *> solids{&upper.body->solid, &lower.body->solid};
    BowString::Hold hold;
    hold.free_handle = true;
    hold.height = 0.03;
    hold.pressure_height = -0.02;
    StringSeat upper_seat, lower_seat;
    upper_seat.station = lower_seat.station = 0.22;
    upper_seat.depth = 4e-3;
    lower_seat.depth = 3e-3;
    lower_seat.mirrored = true;
    const BowString string(solids, {upper_seat, lower_seat}, 4e4, hold);
    upper.assemble();
    lower.assemble();
    State state = upper.bent();
    state.q.push_back(lower.bent().q[0]);
    state.scalars = Eigen::Vector4d(300., 280., 0.01, 0.05);
    check_loads(table, "two limbs, stringing", solids, string.bracing(0.12), state, -0.1);
    check_loads(table, "two limbs, drawing", solids, string.drawing({0.15, 0.16}), state, 0.25);
    check_loads(table, "two limbs, drawing held", solids, string.drawing_held({0.15, 0.16}), state, 0.25);
    check_loads(table, "two limbs, letting go", solids, string.releasing(0.12, {250., 230.}), state, 0.4);
  }
}
