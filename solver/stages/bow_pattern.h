#pragma once

#include "solver/stages/draw_path.h"

#include <memory>

namespace limbwright
{
/// A bow drawn in the side view, for others that differ from it a little: they take its columns, so that their meshes are its
/// own, moved, and begin from its braced and its drawn state. What comes of them depends on the pattern and on no other bow.
class BowPattern
{
public:
  /// Throws std::runtime_error and std::invalid_argument as draw_bow() does. Where the bow cannot be drawn others take its
  /// columns alone.
  BowPattern(const BowDescription &bow, const MeshSettings &mesh_settings, const SolveSettings &settings,
             const std::atomic<bool> *stop);
  ~BowPattern();
  BowPattern(const BowPattern &) = delete;
  BowPattern &operator=(const BowPattern &) = delete;

  /// [m] stations of a limb's columns, root to tip.
  const std::vector<double> &columns(std::size_t limb) const;
  /// Whether others begin from its states.
  bool drawn() const;
  /// From now on others take the columns alone.
  void forget_states();

  /// The path of a bow on the pattern's columns: from its states, where the mesh has as many unknowns and what the bow comes to
  /// does not depend on the way there; else, and where Newton's method fails from there, as BowPath::run() goes by itself.
  DrawPath run_alike(BowPath &other, const std::function<void(const PathProgress &)> &progress, const std::atomic<bool> *stop,
                     const PathKeeping &keeping) const;

private:
  struct Work;
  std::unique_ptr<Work> work;
};
} // namespace limbwright
