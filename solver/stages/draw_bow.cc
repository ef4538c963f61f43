#include "solver/stages/draw_bow.h"

#include "meshing/mesh/limb_mesh.h"
#include "solver/failure/events.h"
#include "solver/failure/snapshot.h"
#include "solver/fields/limb_fields.h"
#include "solver/fields/vtu_writer.h"
#include "solver/model/carry_over.h"
#include "solver/stages/bow_pattern.h"
#include "solver/stages/distributed_solver.h"
#include "solver/stages/draw_curve.h"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <fstream>
#include <limits>
#include <memory>
#include <optional>
#include <sstream>
#include <string>

namespace limbwright
{
namespace
{
// Seconds of each phase, in the order they were begun.
class PhaseClock
{
public:
  explicit PhaseClock(std::vector<PhaseTime> &list) : phases(list) {}

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

// Judges one state after the other and writes its fields.
template <int dim>
class Recorder
{
public:
  Recorder(BowPath &path, const BowDescription &bow, const SolveSettings &settings, std::filesystem::path fields_folder)
      : bow_path(path), folder(std::move(fields_folder))
  {
    for (std::size_t k = 0; k < bow_path.n_limbs(); ++k)
      judges.emplace_back(bow_path.solid<dim>(k), bow.materials, bow.adhesives, settings.averaging_length);
    section_steps.resize(judges.size());
    if (!folder.empty())
      std::filesystem::create_directories(folder);
  }

  // way_back: the bow has been at full draw before. A viewer's time is the draw length, which comes twice where the bow is let
  // down; so the way back counts on from full draw.
  Snapshot record(const PathStep &step, bool way_back)
  {
    Snapshot snapshot;
    snapshot.stage = step.stage;
    snapshot.point = step.point;
    if (!folder.empty())
      snapshot.field_name = "step_" + std::to_string(n_recorded);
    const double draw = step.readings.size() == 0 ? 0. : step.point.draw / 0.0254; // none while unstrung
    if (!way_back)
      longest = draw;
    const double time = way_back ? 2. * longest - draw : draw;
    ++n_recorded;
    bow_path.restore(step);
    for (std::size_t k = 0; k < bow_path.n_limbs(); ++k)
    {
      const LayeredSolid<dim> &solid = bow_path.solid<dim>(k);
      const Eigen::VectorXd u = solid.space().expand(step.state.q[k]);
      auto verdict = judges[k].judge(k == 0 ? LimbName::upper : LimbName::lower, u);
      if (k == 1)
        for (SectionState &section : verdict.snapshot.sections)
          section.y = -section.y; // into the bow's frame
      if (!way_back && step.stage != "unstrung")
        section_steps[k].push_back({step.point.draw, std::move(verdict.section_forces), judges[k].section_memory()});
      snapshot.limbs.push_back(std::move(verdict.snapshot));
      snapshot.worst.insert(snapshot.worst.end(), verdict.worst.begin(), verdict.worst.end());
      if (folder.empty())
        continue;
      const std::string stem = snapshot.field_name + (k == 0 ? "" : "_lower");
      const auto files = write_limb_fields(folder, stem, solid, judges[k], verdict, u, k == 1);
      collection.push_back({time, files[0], static_cast<int>(k)});
      if (files.size() > 1)
        glue_collection.push_back({time, files[1], static_cast<int>(k)});
    }
    std::stable_sort(snapshot.worst.begin(), snapshot.worst.end(),
                     [](const HotSpot &a, const HotSpot &b) { return a.index > b.index; });
    return snapshot;
  }

  // By limb: how its sections fared along the draw; nothing where no wood yields.
  std::vector<SectionCurve> section_curves() const
  {
    std::vector<SectionCurve> curves;
    for (std::size_t k = 0; k < judges.size(); ++k)
    {
      const LimbModel &limb = bow_path.limb(k);
      bool yields = false;
      for (std::size_t l = 0; l < limb.shape().n_laminations(); ++l)
        yields = yields || limb.crushing_law(static_cast<int>(l));
      curves.push_back(yields ? section_curve<dim>(judges[k].limb_sections(), limb.column_stations(), section_steps[k],
                                                   [&](int lamination) -> const Material &
                                                   { return judges[k].material(lamination); })
                              : SectionCurve{});
    }
    return curves;
  }

  void finish() const
  {
    if (folder.empty())
      return;
    // All pieces are there when any process goes on.
    const Communicator &ranks = bow_path.limb().communicator();
    (void)ranks.any(false);
    if (ranks.rank() > 0)
      return;
    write_pvd(folder / "limb.pvd", collection);
    if (!glue_collection.empty())
      write_pvd(folder / "glue_lines.pvd", glue_collection);
  }

private:
  BowPath &bow_path;
  std::filesystem::path folder;
  std::vector<LimbJudgeOf<dim>> judges;
  std::vector<std::vector<SectionStep<dim>>> section_steps; // by limb: brace to full draw
  std::vector<FieldStep> collection, glue_collection;
  int n_recorded = 0;
  double longest = 0.; // [in] draw
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

StringGaps string_gaps(const BowPath &bow_path, const State &state, double draw)
{
  StringGaps gaps;
  for (std::size_t k = 0; k < bow_path.n_limbs(); ++k)
  {
    const LimbShape &shape = bow_path.limb(k).shape();
    const double root = shape.description().root_station;
    const Point2 belly = shape.place(root, shape.outer_belly_depth(root));
    const auto string = bow_path.string().path(state, draw, k);
    const Eigen::Vector3d e = string.directions.front();
    const double gap = belly[0] - string.nocking_point.x() - e.x() / e.y() * (belly[1] - string.nocking_point.y());
    (k == 0 ? gaps.upper : gaps.lower) = gap;
  }
  if (bow_path.n_limbs() == 1)
    gaps.lower = gaps.upper;
  return gaps;
}

namespace
{
std::vector<std::unique_ptr<LimbMesh<2>>> side_meshes(const BowDescription &bow, const MeshSettings &settings)
{
  std::vector<std::unique_ptr<LimbMesh<2>>> meshes;
  meshes.push_back(std::make_unique<LimbMesh<2>>(LimbShape(bow.upper), settings));
  if (bow.lower)
    meshes.push_back(std::make_unique<LimbMesh<2>>(LimbShape(*bow.lower), settings));
  return meshes;
}

// The bow drawn in the side view: where a solid one may begin.
struct SideView
{
  std::vector<std::unique_ptr<LimbMesh<2>>> meshes;
  BowPath bow_path;
  DrawPath path;

  SideView(const BowDescription &bow, const MeshSettings &mesh_settings, SolveSettings settings,
           const std::function<void(const PathProgress &)> &progress, const std::atomic<bool> *stop)
      : meshes(side_meshes(bow, mesh_settings)),
        bow_path(bare_meshes(), bow, side_settings(settings)),
        path(bow_path.run(progress, stop))
  {
  }

  std::vector<const LimbMesh<2> *> bare_meshes() const
  {
    std::vector<const LimbMesh<2> *> list;
    for (const auto &mesh : meshes)
      list.push_back(mesh.get());
    return list;
  }
  static SolveSettings side_settings(SolveSettings settings)
  {
    settings.plane = PlaneState::stress;
    return settings;
  }
  State carry_over(const State &state, const BowPath &solid_path) const
  {
    State result = state;
    for (std::size_t k = 0; k < state.q.size(); ++k)
    {
      const auto &side = bow_path.solid<2>(k);
      const auto &solid = solid_path.solid<3>(k);
      result.q[k] = solid.space().sample(solid_displacement(side, side.space().expand(state.q[k]), solid));
      solid.communicator().share(result.q[k]); // machines may round the side view differently
    }
    return result;
  }
};

BowPath path_of(const std::vector<const LimbMesh<2> *> &meshes, const BowDescription &bow, const SolveSettings &settings)
{
  return {meshes, bow, settings};
}

BowPath path_of(const std::vector<const LimbMesh<3> *> &meshes, const BowDescription &bow, const SolveSettings &settings)
{
  return {meshes, bow, settings, Communicator::world()};
}

DrawPath run_guided(BowPath &bow_path, const SideView &side_view, const std::function<void(const PathProgress &)> &progress,
                    const std::atomic<bool> *stop, const PathKeeping &keeping)
{
  const PathGuide guide{side_view.path, [&](const State &state) { return side_view.carry_over(state, bow_path); }};
  return bow_path.run(progress, stop, &guide, keeping);
}

// What a solid takes in this process [bytes]: the factors grow with the power 1.4 of the unknowns (measured from 50 to 210
// thousand; 1.8 GB there), the rest in proportion. Shared among ranks but for 0.8 GB in the million unknowns, which each has.
double expected_memory(double unknowns, int n_ranks)
{
  const double shared = 1.8e9 * std::pow(unknowns / 209e3, 1.4) + 1.7e3 * unknowns;
  return shared / n_ranks + 0.8e3 * unknowns;
}

// [bytes] that this machine has left; infinite where it does not tell.
double free_memory()
{
  std::ifstream file("/proc/meminfo");
  for (std::string name; file >> name;)
    if (double kilobytes = 0.; name == "MemAvailable:" && file >> kilobytes)
      return 1024. * kilobytes;
  return std::numeric_limits<double>::infinity();
}

void foresee_memory(const BowPath &path)
{
  double unknowns = 0.;
  for (std::size_t k = 0; k < path.n_limbs(); ++k)
    unknowns = std::max(unknowns, static_cast<double>(path.limb(k).space().n_free()));
  const Communicator &ranks = path.limb().communicator();
  const double due = ranks.n_on_this_machine() * static_cast<double>(path.n_limbs()) * expected_memory(unknowns, ranks.n_ranks());
  const double left = free_memory();
  if (ranks.any(due > left))
  {
    std::ostringstream text;
    text.precision(2);
    text << "this mesh has some " << std::lround(unknowns / 1e3) << " thousand unknowns in a limb and would take about "
         << due / 1e9 << " GB on this machine, of which " << left / 1e9 << " GB are free";
    throw NotEnoughMemory(text.str());
  }
}

template <int dim>
DrawResults draw_meshed(const BowDescription &bow, MeshSettings mesh_settings, const SolveSettings &solve_settings,
                        const std::vector<double> &curve_draws, const std::filesystem::path &fields_folder,
                        const std::function<void(const PathProgress &)> &progress, const std::atomic<bool> *stop,
                        const PathKeeping &keeping, const BowPattern *pattern)
{
  DrawResults results;
  PhaseClock clock(results.solve.phases);
  mesh_settings.half_width =
      mesh_settings.half_width && !solve_settings.sideways && bow.upper.even_across() && (!bow.lower || bow.lower->even_across());
  std::vector<std::unique_ptr<LimbMesh<dim>>> meshes;
  std::vector<const LimbMesh<dim> *> limb_meshes;
  for (const LimbDescription *limb : {&bow.upper, bow.lower ? &*bow.lower : nullptr})
    if (limb != nullptr)
    {
      const LimbShape shape(*limb);
      meshes.push_back(dim == 2 && pattern != nullptr
                           ? std::make_unique<LimbMesh<dim>>(shape, mesh_settings, pattern->columns(meshes.size()))
                           : std::make_unique<LimbMesh<dim>>(shape, mesh_settings));
      limb_meshes.push_back(meshes.back().get());
    }
  clock.finish("mesh");
  BowPath bow_path = path_of(limb_meshes, bow, solve_settings);
  if (dim == 3)
    foresee_memory(bow_path);
  clock.finish("set up");
  const std::optional<SideView> side_view =
      dim == 3 && !bow_path.way_matters()
          ? std::optional<SideView>(std::in_place, bow, mesh_settings, solve_settings, progress, stop)
          : std::nullopt;
  if (side_view)
    clock.finish("side view");
  const bool guided = side_view && side_view->path.complete;
  const DrawPath path = guided                           ? run_guided(bow_path, *side_view, progress, stop, keeping)
                        : dim == 2 && pattern != nullptr ? pattern->run_alike(bow_path, progress, stop, keeping)
                                                         : bow_path.run(progress, stop, nullptr, keeping);
  clock.finish("string and draw");
  const SolveSeconds &spent = bow_path.seconds();
  results.solve.phases.push_back({"string and draw: assembly", spent.assembly});
  results.solve.phases.push_back({"string and draw: factorisation", spent.factorisation});
  results.solve.phases.push_back({"string and draw: solution", spent.solution});

  results.symmetric = !bow.lower;
  const auto stopped = [&](const std::string &stage)
  {
    const bool asked = stop != nullptr && bow_path.limb().communicator().any(stop->load());
    if (asked)
    {
      results.complete = false;
      results.failed_stage = stage;
      results.reason = stopped_reason;
    }
    return asked;
  };
  if (stopped(path.complete ? "letting down" : path.failed_stage))
    return results;
  Recorder<dim> recorder(bow_path, bow, solve_settings, fields_folder);
  const auto record = [&](const std::vector<PathStep> &steps, bool way_back, std::vector<Snapshot> &snapshots)
  {
    for (const PathStep &step : steps)
    {
      if (stopped("judging"))
        return false;
      snapshots.push_back(recorder.record(step, way_back));
    }
    return true;
  };
  if (solve_settings.judging == Judging::last_only)
    results.snapshots.push_back(recorder.record(path.steps.back(), false));
  else if (!record(path.steps, false, results.snapshots))
    return results;
  if (!record(path.after, true, results.let_down.snapshots))
    return results;
  recorder.finish();
  clock.finish("indices and fields");
  if (solve_settings.sideways && dim == 3)
  {
    for (const PathStep &step : path.steps)
      if (stopped("stability sideways"))
        return results;
      else if (step.stage != "drawing" || &step == &path.steps.back())
        results.sideways.push_back(bow_path.sideways(step, path.slack_lengths));
    clock.finish("stability sideways");
  }

  results.complete = path.complete;
  results.failed_stage = path.failed_stage;
  results.overdraw = path.overdraw;
  results.reason = path.reason;
  results.brace_height = bow.brace_height;
  for (const double half : path.slack_lengths)
    results.string_slack_length += half * (results.symmetric ? 2. : 1.);
  results.mass_upper = limb_mass(meshes.front()->shape(), bow);
  results.mass_lower = limb_mass(meshes.back()->shape(), bow);
  if (path.steps.size() > 1)
  {
    const DrawPoint &last = path.steps.back().point;
    const State &last_state = path.steps.back().state;
    results.brace_tension = path.steps[1].point.tension;
    results.full_draw_tension = last.tension;
    results.draw_weight = last.force;
    results.draw_length = last.draw;
    results.rise_per_metre = last.stiffness;
    results.stored_energy = last.work;
    results.tip_angle = last.tip_angle;
    results.gaps_braced = string_gaps(bow_path, path.steps[1].state, path.steps[1].point.draw);
    results.gaps_full = string_gaps(bow_path, last_state, last.draw);
    const double brace_draw = path.steps[1].point.draw;
    const std::vector<double> draws = draws_between(brace_draw, last.draw, curve_draws);
    results.draw_curve = path.guided && side_view
                             ? carried_curve(interpolate_draw_curve(side_view->path, draws), side_view->path, path)
                             : interpolate_draw_curve(path, draws);
  }
  results.worst = results.snapshots.back().worst;
  if (solve_settings.judging == Judging::every_step)
  {
    const std::vector<SectionCurve> curves = recorder.section_curves();
    set_draw_at_one(results.worst, results.snapshots, curves);
    results.events = events_of_draw(bow, results.snapshots, curves, path.sudden_growth);
  }
  for (std::size_t k = 0; k < bow_path.n_limbs(); ++k)
  {
    const LayeredSolid<dim> &solid = bow_path.solid<dim>(k);
    results.solve.unknowns += solid.space().n_free();
    results.solve.cells += static_cast<int>(solid.cells().size());
    results.solve.columns += static_cast<int>(solid.column_stations().size()) - 1;
  }
  LetDown &down = results.let_down;
  down.cycles = path.cycles;
  down.reason = path.after_failed;
  down.iterations = path.let_down_iterations;
  const auto nock = [&](const State &state, std::size_t k)
  { return bow_path.string().path(state, path.steps.front().point.draw, k).tip.x(); };
  const std::size_t lower = bow_path.n_limbs() - 1;
  const State &at_rest = path.steps.front().state;
  if (bow_path.prestrained())
  {
    results.spring_upper = nock(at_rest, 0) - nock(at_rest * 0., 0);
    results.spring_lower = nock(at_rest, lower) - nock(at_rest * 0., lower);
  }
  if (!path.after.empty() && path.after.back().stage == "unstrung again")
  {
    down.complete = true;
    const State &let_go = path.after.back().state;
    down.set_upper = nock(at_rest, 0) - nock(let_go, 0);
    down.set_lower = nock(at_rest, lower) - nock(let_go, lower);
  }
  results.solve.brace_iterations = path.brace_iterations;
  results.solve.draw_iterations = path.draw_iterations;
  results.solve.steps_cut = path.steps_cut;
  return results;
}
} // namespace

DrawResults draw_bow(const BowDescription &bow, const MeshSettings &mesh_settings, const SolveSettings &solve_settings,
                     const std::vector<double> &curve_draws, const std::filesystem::path &fields_folder,
                     const std::function<void(const PathProgress &)> &progress, const std::atomic<bool> *stop,
                     const PathKeeping &keeping, const BowPattern *pattern)
{
  const auto draw = solve_settings.dimension == 3 ? draw_meshed<3> : draw_meshed<2>;
  return draw(bow, mesh_settings, solve_settings, curve_draws, fields_folder, progress, stop, keeping, pattern);
}
} // namespace limbwright
