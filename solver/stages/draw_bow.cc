#include "solver/stages/draw_bow.h"

#include "meshing/mesh/limb_mesh.h"
#include "solver/failure/snapshot.h"
#include "solver/fields/limb_fields.h"
#include "solver/fields/vtu_writer.h"

#include <algorithm>
#include <chrono>
#include <stdexcept>

namespace limbwright
{
namespace
{
// Seconds of each phase, in the order they were begun.
class PhaseClock
{
public:
  explicit PhaseClock(std::vector<PhaseTime> &list)
      : phases(list)
  {}

  void finish(const std::string &phase)
  {
    const auto now = std::chrono::steady_clock::now();
    phases.push_back({phase, std::chrono::duration<double>(now - last).count()});
    last = now;
  }

private:
  std::vector<PhaseTime> &phases;
  std::chrono::steady_clock::time_point last = std::chrono::steady_clock::now();
};

double limb_mass(const LimbShape &shape, const BowDescription &bow)
{
  std::vector<double> wood, glue;
  for (const auto &lamination : shape.description().laminations)
    wood.push_back(bow.materials.at(lamination.material).density);
  for (const auto &line : shape.description().glue)
    glue.push_back(line.thickness > 0. ? bow.adhesives.at(line.adhesive).density : 0.);
  return shape.mass(wood, glue);
}
} // namespace

DrawResults draw_bow(const BowDescription &bow, const MeshSettings &mesh_settings, const SolveSettings &solve_settings,
                     const std::vector<double> &curve_draws, const std::filesystem::path &fields_folder,
                     const std::function<void(const PathProgress &)> &progress, const std::atomic<bool> *stop)
{
  if (bow.lower)
    throw std::runtime_error("a bow with two unlike limbs can be described but not drawn yet; give one [limb] for both");
  DrawResults results;
  PhaseClock clock(results.solve.phases);
  const LimbMesh<2> mesh(LimbShape(bow.upper), mesh_settings);
  clock.finish("mesh");
  BowPath bow_path(mesh, bow, solve_settings);
  clock.finish("set up");
  const DrawPath path = bow_path.run(progress, stop);
  clock.finish("string and draw");
  const SolveSeconds &spent = bow_path.seconds();
  results.solve.phases.push_back({"string and draw: assembly", spent.assembly});
  results.solve.phases.push_back({"string and draw: factorisation", spent.factorisation});
  results.solve.phases.push_back({"string and draw: solution", spent.solution});

  const LayeredSolid<2> &solid = bow_path.solid();
  const LimbJudge judge(solid, bow.materials, bow.adhesives, solve_settings.averaging_length);
  std::vector<FieldStep> collection, glue_collection;
  for (std::size_t i = 0; i < path.steps.size(); ++i)
  {
    const PathStep &step = path.steps[i];
    const Eigen::VectorXd u = solid.space().expand(step.state.q[0]);
    Snapshot snapshot;
    snapshot.stage = step.stage;
    snapshot.point = step.point;
    auto verdict = judge.judge(LimbName::upper, u);
    snapshot.limbs = {std::move(verdict.snapshot)};
    snapshot.worst = std::move(verdict.worst);
    if (!fields_folder.empty())
    {
      std::filesystem::create_directories(fields_folder);
      snapshot.field_name = "step_" + std::to_string(i);
      const auto files = write_limb_fields(fields_folder, snapshot.field_name, solid, judge, u, false);
      const double time = step.stage == "unstrung" ? 0. : step.point.draw / 0.0254;
      collection.push_back({time, files[0], 0});
      if (files.size() > 1)
        glue_collection.push_back({time, files[1], 0});
    }
    results.snapshots.push_back(std::move(snapshot));
  }
  if (!fields_folder.empty())
  {
    write_pvd(fields_folder / "limb.pvd", collection);
    if (!glue_collection.empty())
      write_pvd(fields_folder / "glue_lines.pvd", glue_collection);
  }
  clock.finish("indices and fields");

  results.complete = path.complete;
  results.failed_stage = path.failed_stage;
  results.reason = path.reason;
  results.brace_height = bow.brace_height;
  results.string_slack_length = 2. * path.slack_length;
  results.mass_upper = results.mass_lower = limb_mass(mesh.shape(), bow);
  if (path.steps.size() > 1)
  {
    const DrawPoint &last = path.steps.back().point;
    results.brace_tension = path.steps[1].point.tension;
    results.full_draw_tension = last.tension;
    results.draw_weight = last.force;
    results.draw_length = last.draw;
    results.rise_per_metre = last.stiffness;
    results.stored_energy = last.work;
    results.tip_angle = last.tip_angle;
    std::vector<double> draws = {bow.brace_height};
    for (const double draw : curve_draws)
      if (draw > bow.brace_height && draw < last.draw)
        draws.push_back(draw);
    draws.push_back(last.draw);
    std::sort(draws.begin(), draws.end());
    results.draw_curve = interpolate_draw_curve(path, draws);
  }
  results.worst = results.snapshots.back().worst;
  set_draw_at_one(results.worst, results.snapshots);
  results.solve.unknowns = solid.space().n_free();
  results.solve.cells = static_cast<int>(solid.cells().size());
  results.solve.columns = static_cast<int>(solid.column_stations().size()) - 1;
  results.solve.brace_iterations = path.brace_iterations;
  results.solve.draw_iterations = path.draw_iterations;
  results.solve.steps_cut = path.steps_cut;
  return results;
}
} // namespace limbwright
