// A straight limb as a solid under a dead load at its tip: solved here, and written as input of CalculiX, a general-purpose
// finite-element code. scripts/compare-general-fe runs both.
//   limbwright_general_fe COLUMNS ROWS_OF_CORE STRIPS FOLDER [once]
// Writes limb.inp and ours.json to the folder. once: the load at once, without the side view's help. Under mpirun on all its
// ranks.
#include "meshing/mesh/limb_mesh.h"
#include "solver/model/carry_over.h"
#include "solver/stages/loads.h"

#include <fmt/core.h>
#include <fmt/os.h>

#include <sys/resource.h>

#include <array>
#include <chrono>
#include <cstdlib>
#include <filesystem>
#include <map>
#include <stdexcept>

using namespace limbwright;

namespace
{
// Our own invention, near what a glass bow has: glass, wood, glass, tapered in width and thickness. [m, Pa, N]
constexpr double length = 0.7, core_thickness[2] = {11.4e-3, 7.4e-3}, glass_thickness = 0.8e-3, width[2] = {38e-3, 14e-3};
constexpr double load[2] = {-180., -270.};

Material material(const char *name, const OrthotropicConstants &constants)
{
  Material result;
  result.name = name;
  result.constants = constants;
  return result;
}

std::map<std::string, Material> materials()
{
  return {{"glass", material("glass", {40e9, 10e9, 10e9, 4e9, 4e9, 3.5e9, .27, .27, .4})},
          {"wood", material("wood", {12e9, 1.3e9, .8e9, .9e9, .8e9, .2e9, .37, .42, .45})}};
}

LaminationDescription layer(const std::string &name, const StationTable &thickness)
{
  LaminationDescription lamination;
  lamination.name = lamination.material = name;
  lamination.thickness = thickness;
  lamination.end = length;
  lamination.grain = GrainDirection::along_handle; // one set of axes for the whole limb
  return lamination;
}

LimbDescription limb()
{
  LimbDescription description;
  description.tip_station = length;
  description.profile.lean = StationTable::constant(0.);
  description.width = {{0., length}, {width[0], width[1]}};
  const StationTable glass = StationTable::constant(glass_thickness);
  description.laminations = {layer("glass", glass), layer("wood", {{0., length}, {core_thickness[0], core_thickness[1]}}),
                             layer("glass", glass)};
  // No glue: bonds ten thousand times as stiff as a layer of glue; the other code shares the nodes.
  description.glue.assign(2, {"", 0., 1e17, false});
  description.nock = {length, 0.5};
  return description;
}

double depth_of_axis(double station)
{
  const double t = station / length;
  return glass_thickness + 0.5 * ((1. - t) * core_thickness[0] + t * core_thickness[1]);
}

Supports supports()
{
  Supports result;
  result.sections = {{0., true, false, false, false}};
  result.nodes = {{0., depth_of_axis(0.), false, true, false}};
  return result;
}

template <int dim>
struct Body
{
  LimbMesh<dim> mesh;
  LayeredSolid<dim> solid;
  explicit Body(const MeshSettings &settings, const Communicator &ranks = Communicator::alone())
      : mesh(LimbShape(limb()), settings), solid(mesh, materials(), {}, PlaneState::stress, supports(), ranks)
  {
  }
};

State solve(Equilibrium &equilibrium, const Loads &loads, State state, double from, int n_steps, int &iterations)
{
  for (int step = 1; step <= n_steps; ++step)
  {
    const double at = from + (1. - from) * step / n_steps;
    State trial = state;
    const NewtonResult result = equilibrium.solve(trial, from == 1. ? trial : state, at, loads);
    if (!result.converged)
      throw std::runtime_error("not converged: " + result.reason);
    iterations += result.iterations;
    state = trial;
  }
  return state;
}

int node_near(const LayeredSolid<3> &solid, double station, double depth)
{
  int nearest = 0;
  double least = 1e9;
  for (std::size_t i = 0; i < solid.nodes().size(); ++i)
  {
    const auto &node = solid.nodes()[i];
    const double distance = std::hypot(node.station - station, node.depth - depth, node.place[2]);
    if (distance < least)
    {
      least = distance;
      nearest = static_cast<int>(i);
    }
  }
  return nearest;
}

// Twenty of a cell's 27 nodes in the order of the other code's C3D20R: corners, edges below, above, between.
constexpr int order20[20] = {0, 2, 8, 6, 18, 20, 26, 24, 1, 5, 7, 3, 19, 23, 25, 21, 9, 11, 17, 15};

// Nodes that lie on each other across a bond are one.
std::vector<int> shared_numbers(const LayeredSolid<3> &solid)
{
  std::vector<int> number(solid.nodes().size());
  for (std::size_t i = 0; i < number.size(); ++i)
    number[i] = static_cast<int>(i) + 1;
  for (const auto &element : solid.glue())
    for (std::size_t k = 0; k < element.back_nodes.size(); ++k)
      number[static_cast<std::size_t>(element.back_nodes[k])] = number[static_cast<std::size_t>(element.belly_nodes[k])];
  return number;
}

int write_input(const LayeredSolid<3> &solid, const std::filesystem::path &file, int tip_node)
{
  const auto &nodes = solid.nodes();
  const std::vector<int> number = shared_numbers(solid);
  std::map<int, const LimbModel::Node *> used;
  for (const auto &cell : solid.cells())
    for (const int local : order20)
      used[number[static_cast<std::size_t>(cell.nodes[local])]] = &nodes[static_cast<std::size_t>(cell.nodes[local])];
  auto out = fmt::output_file(file.string());
  out.print("** A straight limb, half its width: its mirror image understood. Metres, newtons.\n*NODE, NSET=ALLNODES\n");
  for (const auto &[id, node] : used)
    out.print("{}, {:.12g}, {:.12g}, {:.12g}\n", id, node->place[0], node->place[1], node->place[2]);
  const char *set_of_layer[3] = {"BELLY", "CORE", "BACK"};
  for (int layer_number = 0; layer_number < 3; ++layer_number)
  {
    out.print("*ELEMENT, TYPE=C3D20R, ELSET={}\n", set_of_layer[layer_number]);
    for (std::size_t c = 0; c < solid.cells().size(); ++c)
      if (const auto &cell = solid.cells()[c]; cell.lamination == layer_number)
      {
        out.print("{}", c + 1);
        for (int k = 0; k < 20; ++k)
          out.print("{}{}", k == 10 ? ",\n" : ", ", number[static_cast<std::size_t>(cell.nodes[order20[k]])]);
        out.print("\n");
      }
  }
  out.print("*ORIENTATION, NAME=GRAIN\n0., 1., 0., 1., 0., 0.\n");
  for (const auto &[name, m] : materials())
  {
    const OrthotropicConstants &c = m.constants;
    out.print("*MATERIAL, NAME={}\n*ELASTIC, TYPE=ENGINEERING CONSTANTS\n{}, {}, {}, {}, {}, {}, {}, {},\n{}\n", name, c.E_L,
              c.E_R, c.E_T, c.nu_LR, c.nu_LT, c.nu_RT, c.G_LR, c.G_LT, c.G_RT);
  }
  for (int layer_number = 0; layer_number < 3; ++layer_number)
    out.print("*SOLID SECTION, ELSET={}, MATERIAL={}, ORIENTATION=GRAIN\n", set_of_layer[layer_number],
              layer_number == 1 ? "wood" : "glass");
  out.print("*NSET, NSET=TIP\n{}\n*BOUNDARY\n", number[static_cast<std::size_t>(tip_node)]);
  for (const auto &[id, node] : used)
  {
    if (node->station == 0.)
      out.print("{}, 2, 2\n", id);
    if (node->across == 0.)
      out.print("{}, 3, 3\n", id);
  }
  out.print("{}, 1, 1\n", number[static_cast<std::size_t>(node_near(solid, 0., depth_of_axis(0.)))]);

  // An even traction over the tip's face: of each eight-node face the corners bear -1/12, the edges 1/3.
  std::map<int, double> share;
  double area = 0.;
  for (const auto &cell : solid.cells())
  {
    const auto id = [&](int i, int k) { return number[static_cast<std::size_t>(cell.nodes[i + 6 + 9 * k])]; };
    const auto &low = nodes[static_cast<std::size_t>(cell.nodes[6])], &high = nodes[static_cast<std::size_t>(cell.nodes[26])];
    if (low.station != length)
      continue;
    const double own = std::abs((high.place[0] - low.place[0]) * (high.place[2] - low.place[2]));
    area += own;
    for (const int i : {0, 2})
      for (const int k : {0, 2})
        share[id(i, k)] -= own / 12.;
    for (const auto &[i, k] : {std::pair{1, 0}, {1, 2}, {0, 1}, {2, 1}})
      share[id(i, k)] += own / 3.;
  }
  out.print("*STEP, NLGEOM, INC=1000\n*STATIC\n0.1, 1.\n*CONTROLS, PARAMETERS=FIELD\n1.E-6, 1.E-5, , , , , ,\n*CLOAD\n");
  for (const auto &[id, part] : share)
    for (int c = 0; c < 2; ++c)
      out.print("{}, {}, {:.12g}\n", id, c + 1, 0.5 * load[c] * part / area);
  out.print("*NODE PRINT, NSET=TIP, FREQUENCY=100000\nU\n*EL PRINT, ELSET=BACK, FREQUENCY=100000\nS\n*END STEP\n");
  return 3 * static_cast<int>(used.size());
}

// The greatest true stress along the fibres of the back glass at the eight Gauss points of the cells, a stack's thickness away
// from the ends: stretch^2/J times the second Piola-Kirchhoff stress [Pa].
double peak_fibre_stress(const LayeredSolid<3> &solid, const Eigen::VectorXd &u)
{
  double peak = 0.;
  for (const auto &cell : solid.cells())
  {
    const double station = solid.nodes()[static_cast<std::size_t>(cell.nodes[13])].station;
    if (cell.lamination != 2 || station < 0.02 || station > length - 0.02)
      continue;
    for (const auto &strain : solid.gauss_strains(cell, u))
    {
      const LayeredSolid<3>::Strain stress = solid.stiffness(2) * strain;
      const double volume = std::sqrt((1. + 2. * strain[0]) * (1. + 2. * strain[1]) * (1. + 2. * strain[2]));
      peak = std::max(peak, stress[0] * (1. + 2. * strain[0]) / volume);
    }
  }
  return peak;
}

double seconds_since(std::chrono::steady_clock::time_point start)
{
  return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}
} // namespace

int main(int argc, char **argv)
{
  if (argc < 5)
  {
    fmt::print(stderr, "limbwright_general_fe COLUMNS ROWS_OF_CORE STRIPS FOLDER [once]\n");
    return 2;
  }
  const int columns = std::atoi(argv[1]), rows = std::atoi(argv[2]), strips = std::atoi(argv[3]);
  const std::filesystem::path folder = argv[4];
  std::filesystem::create_directories(folder);
  MeshSettings settings;
  settings.column_length = length / columns;
  settings.row_height = 0.5 * (core_thickness[0] + core_thickness[1]) / rows; // one row of glass
  settings.end_refinement = 0.;
  settings.strips = strips;

  const auto start = std::chrono::steady_clock::now();
  const Communicator ranks = Communicator::world();
  Body<3> body(settings, ranks);
  const SectionForce tip(body.solid, length, depth_of_axis(length));
  const Loads loads = tip.dead_in_space({load[0], load[1], 0.});
  NewtonSettings newton;
  newton.reuse_below = 1e-4;
  Equilibrium equilibrium({&body.solid}, newton);
  int iterations = 0, iterations_side_view = 0;
  State state = equilibrium.zero(0);
  double seconds_side_view = 0.;
  if (argc > 5)
    state = solve(equilibrium, loads, state, 0., 1, iterations);
  else
  {
    Body<2> side_view(settings);
    const SectionForce side_tip(side_view.solid, length, depth_of_axis(length));
    Equilibrium of_side_view({&side_view.solid}, newton);
    const State guess = solve(of_side_view, side_tip.dead({load[0], load[1]}), of_side_view.zero(0), 0., 1, iterations_side_view);
    seconds_side_view = seconds_since(start);
    state.q[0] =
        body.solid.space().sample(solid_displacement(side_view.solid, side_view.solid.space().expand(guess.q[0]), body.solid));
    state = solve(equilibrium, loads, state, 1., 1, iterations);
  }
  const double seconds = seconds_since(start);
  rusage usage{};
  getrusage(RUSAGE_SELF, &usage);
  const double memory = ranks.sum(static_cast<double>(usage.ru_maxrss) / 1024.);
  if (ranks.rank() > 0)
    return 0;
  const Eigen::VectorXd u = body.solid.space().expand(state.q[0]);
  const int tip_node = node_near(body.solid, length, depth_of_axis(length));
  const int their_unknowns = write_input(body.solid, folder / "limb.inp", tip_node);
  auto out = fmt::output_file((folder / "ours.json").string());
  out.print("{{\"unknowns\": {}, \"their_unknowns\": {}, \"iterations\": {}, \"iterations_side_view\": {}, \"seconds\": {:.3f}, "
            "\"seconds_side_view\": {:.3f}, \"assembly\": {:.3f}, \"factorisation\": {:.3f}, \"memory_MB\": {:.0f}, "
            "\"tip_mm\": [{:.6f}, {:.6f}, {:.6f}], \"peak_fibre_MPa\": {:.5f}}}\n",
            body.solid.space().n_free(), their_unknowns, iterations, iterations_side_view, seconds, seconds_side_view,
            equilibrium.seconds().assembly, equilibrium.seconds().factorisation, memory, 1e3 * u[3 * tip_node],
            1e3 * u[3 * tip_node + 1], 1e3 * u[3 * tip_node + 2], 1e-6 * peak_fibre_stress(body.solid, u));
  return 0;
}
