#include "solver/stages/drawn_bow.h"

#include "meshing/mesh/limb_mesh.h"
#include "solver/failure/snapshot.h"
#include "solver/stages/draw_bow.h"

#include <algorithm>
#include <stdexcept>

namespace limbwright
{
namespace
{
/// The description must outlive it.
struct Limbs
{
  std::vector<std::unique_ptr<LimbMesh<2>>> meshes;
  std::unique_ptr<BowPath> path;
  const BowDescription *bow;

  /// like: whose column stations are taken, so that the mesh only moves; may be null.
  Limbs(const BowDescription &description, const MeshSettings &mesh_settings, const SolveSettings &settings, const Limbs *like)
      : bow(&description)
  {
    std::vector<const LimbMesh<2> *> bare;
    for (const LimbDescription *limb : {&bow->upper, bow->lower ? &*bow->lower : nullptr})
      if (limb != nullptr)
      {
        const LimbShape shape(*limb);
        meshes.push_back(like == nullptr ? std::make_unique<LimbMesh<2>>(shape, mesh_settings)
                                         : std::make_unique<LimbMesh<2>>(shape, mesh_settings,
                                                                         like->meshes.at(meshes.size())->column_stations()));
        bare.push_back(meshes.back().get());
      }
    path = std::make_unique<BowPath>(bare, *bow, settings);
  }
};

/// The weight and all that is judged, of a bow in a drawn state.
DrawResults read_off(const Limbs &limbs, const State &state, const SolveSettings &settings)
{
  DrawResults results;
  const BowPath &path = *limbs.path;
  const BowString &string = path.string();
  const double draw = limbs.bow->full_draw;
  results.complete = true;
  results.symmetric = path.n_limbs() == 1;
  results.brace_height = limbs.bow->brace_height;
  results.draw_length = draw;
  for (std::size_t k = 0; k < path.n_limbs(); ++k)
    results.draw_weight += string.tension(state, k) * string.pull(state, draw, k) * (results.symmetric ? 2. : 1.);
  results.full_draw_tension = string.tension(state, 0);
  results.gaps_full = string_gaps(path, state, draw);
  Snapshot snapshot;
  snapshot.stage = "full draw";
  snapshot.point.draw = draw;
  snapshot.point.force = results.draw_weight;
  for (std::size_t k = 0; k < path.n_limbs(); ++k)
  {
    LimbJudge judge(path.solid(k), limbs.bow->materials, limbs.bow->adhesives, settings.averaging_length);
    auto verdict = judge.judge(k == 0 ? LimbName::upper : LimbName::lower, path.solid(k).space().expand(state.q[k]));
    snapshot.limbs.push_back(std::move(verdict.snapshot));
    snapshot.worst.insert(snapshot.worst.end(), verdict.worst.begin(), verdict.worst.end());
  }
  std::stable_sort(snapshot.worst.begin(), snapshot.worst.end(),
                   [](const HotSpot &a, const HotSpot &b) { return a.index > b.index; });
  results.worst = snapshot.worst;
  results.snapshots.push_back(std::move(snapshot));
  return results;
}

NewtonSettings plain_newton()
{
  NewtonSettings settings;
  settings.mixed_point = false;
  return settings;
}
} // namespace

struct DrawnBow::Work
{
  BowDescription bow;
  MeshSettings mesh_settings;
  SolveSettings settings;
  Limbs limbs;
  State braced, drawn;                            // braced: before the nocking point is marked
  std::vector<History> before_brace, before_full; // what the limbs remembered when the last step to each began
  std::vector<double> slack;                      // [m]
  std::unique_ptr<Equilibrium> at_brace, at_full; // with their tangents
  Imbalance left_at_brace, left_at_full;          // of what Newton's method left

  Work(const BowDescription &description, const MeshSettings &mesh, const SolveSettings &solve)
      : bow(description), mesh_settings(mesh), settings(solve), limbs(bow, mesh, solve, nullptr)
  {
  }

  // The braced bow's nocking point is not marked yet while it is strung.
  State unmarked(State state) const
  {
    state.scalars.tail(state.scalars.size() - static_cast<Eigen::Index>(limbs.path->n_limbs())).setZero();
    return state;
  }
};

DrawnBow::DrawnBow(const BowDescription &bow, const MeshSettings &mesh_settings, const SolveSettings &solve_settings,
                   const std::atomic<bool> *stop)
{
  SolveSettings settings = solve_settings;
  settings.overdraw = false;
  settings.cycles = 0;
  work = std::make_unique<Work>(bow, mesh_settings, settings);
  Work &w = *work;
  BowPath &path = *w.limbs.path;
  const DrawPath way = path.run({}, stop);
  if (!way.complete)
  {
    base.failed_stage = way.failed_stage;
    base.reason = way.reason;
    return;
  }
  w.braced = way.steps[1].state;
  if (path.n_limbs() == 2)
    w.braced = w.unmarked(w.braced);
  w.drawn = way.steps.back().state;
  w.before_brace = way.steps.front().history;
  w.before_full = way.steps[way.steps.size() - 2].history;
  w.slack = way.slack_lengths;

  path.restore(w.before_brace);
  w.at_brace = std::make_unique<Equilibrium>(path.solids(), plain_newton());
  const Loads bracing = path.string().bracing(w.bow.brace_height);
  const auto left_at_brace = w.at_brace->linearise(w.braced, 0., bracing);
  path.restore(w.before_full);
  w.at_full = std::make_unique<Equilibrium>(path.solids(), plain_newton());
  const Loads drawing = path.string().drawing(w.slack);
  const auto left_at_full = w.at_full->linearise(w.drawn, w.bow.full_draw, drawing);
  if (!left_at_brace || !left_at_full)
  {
    base.reason = "the limb's stiffness became singular";
    return;
  }
  w.left_at_brace = *left_at_brace;
  w.left_at_full = *left_at_full;
  base = read_off(w.limbs, w.drawn, settings);
  base.brace_tension = path.string().tension(w.braced, 0);
  base.stored_energy = way.steps.back().point.work;
  base.rise_per_metre = way.steps.back().point.stiffness;
}

DrawnBow::~DrawnBow() = default;

DrawResults DrawnBow::changed(const BowDescription &other) const
{
  const Work &w = *work;
  if (!base.complete)
    throw std::logic_error("the bow was not drawn");
  const Limbs moved(other, w.mesh_settings, w.settings, &w.limbs);
  BowPath &path = *moved.path;
  bool same = path.n_limbs() == w.limbs.path->n_limbs();
  for (std::size_t k = 0; same && k < path.n_limbs(); ++k)
    same = path.solid(k).space().n_free() == w.drawn.q[k].size() &&
           path.solid(k).cells().size() == w.limbs.path->solid(k).cells().size();
  if (!same)
    throw std::invalid_argument("The changed bow has another mesh: the change is too large to be a small one.");
  Equilibrium equilibrium(path.solids(), plain_newton());

  path.restore(w.before_brace);
  const Imbalance at_brace = equilibrium.imbalance(w.braced, 0., path.string().bracing(other.brace_height));
  State braced = w.braced + w.at_brace->response(at_brace - w.left_at_brace);
  const double brace_tension = path.string().tension(braced, 0);
  const double brace_draw = path.mark_nocking_point(braced, other.brace_height);
  const std::vector<double> slack = path.slack_lengths(braced, brace_draw);

  path.restore(w.before_full);
  const Imbalance at_full = equilibrium.imbalance(w.drawn, other.full_draw, path.string().drawing(slack));
  const State drawn = w.drawn + w.at_full->response(at_full - w.left_at_full);
  DrawResults results = read_off(moved, drawn, w.settings);
  results.brace_tension = brace_tension;
  return results;
}
} // namespace limbwright
