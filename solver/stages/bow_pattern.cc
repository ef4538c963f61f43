#include "solver/stages/bow_pattern.h"

#include "meshing/mesh/limb_mesh.h"
#include "solver/model/carry_over.h"

#include <algorithm>

namespace limbwright
{
struct BowPattern::Work
{
  BowDescription bow;
  std::vector<std::unique_ptr<LimbMesh<2>>> meshes;
  std::unique_ptr<BowPath> limbs;
  DrawPath path;

  bool fits(const BowPath &other) const
  {
    if (!path.complete || other.way_matters() || other.n_limbs() != limbs->n_limbs())
      return false;
    const auto same_lamination = [](const LimbModel::Node &a, const LimbModel::Node &b) { return a.lamination == b.lamination; };
    for (std::size_t k = 0; k < limbs->n_limbs(); ++k)
    {
      const auto &own = limbs->limb(k).nodes(), &others = other.limb(k).nodes();
      if (!std::equal(own.begin(), own.end(), others.begin(), others.end(), same_lamination) ||
          other.limb(k).space().n_free() != limbs->limb(k).space().n_free())
        return false;
    }
    return true;
  }

  State carry_over(const State &state, const BowPath &other) const
  {
    State result = state;
    for (std::size_t k = 0; k < state.q.size(); ++k)
      result.q[k] = other.limb(k).space().sample(
          moved_displacement(limbs->solid<2>(k), limbs->limb(k).space().expand(state.q[k]), other.solid<2>(k)));
    return result;
  }
};

BowPattern::BowPattern(const BowDescription &bow, const MeshSettings &mesh_settings, const SolveSettings &solve_settings,
                       const std::atomic<bool> *stop)
    : work(std::make_unique<Work>())
{
  work->bow = bow;
  SolveSettings settings = solve_settings;
  settings.dimension = 2;
  settings.overdraw = false;
  settings.cycles = 0;
  std::vector<const LimbMesh<2> *> bare;
  for (const LimbDescription *limb : {&work->bow.upper, work->bow.lower ? &*work->bow.lower : nullptr})
    if (limb != nullptr)
    {
      work->meshes.push_back(std::make_unique<LimbMesh<2>>(LimbShape(*limb), mesh_settings));
      bare.push_back(work->meshes.back().get());
    }
  work->limbs = std::make_unique<BowPath>(bare, work->bow, settings);
  work->path = work->limbs->run({}, stop);
}

BowPattern::~BowPattern() = default;

const std::vector<double> &BowPattern::columns(std::size_t limb) const
{
  return work->meshes.at(limb)->column_stations();
}

bool BowPattern::drawn() const
{
  return work->path.complete;
}

void BowPattern::forget_states()
{
  work->path.complete = false;
}

DrawPath BowPattern::run_alike(BowPath &other, const std::function<void(const PathProgress &)> &progress,
                               const std::atomic<bool> *stop, const PathKeeping &keeping) const
{
  const PathGuide guide{work->path, [&](const State &state) { return work->carry_over(state, other); }};
  return other.run(progress, stop, work->fits(other) ? &guide : nullptr, keeping);
}
} // namespace limbwright
