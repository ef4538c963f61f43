#pragma once

#include "solver/bow_description.h"
#include "solver/results.h"

#include <atomic>
#include <memory>

namespace limbwright
{
/// A bow strung and drawn once, and what small changes of its description do to it at full draw, to first order.
///
/// Direct differentiation. The braced and the drawn state are put, as they are, into the changed bow (same mesh, moved): what
/// then is out of balance, answered by the factorised tangent of the bow as it was, is the first-order change of each state. The
/// string's slack length follows from the changed braced state, for the brace height is kept. The force, the tiller and the
/// indices are read off the changed bow in the changed state. One set-up, two assemblies and two solutions with factors at hand
/// for each change, instead of a whole draw. Wood that yields goes on yielding or stays as it is: what a point that has turned
/// back since the last step kept of its shortening is not differentiated.
class DrawnBow
{
public:
  /// Draws it. What `stop` interrupts is not complete.
  DrawnBow(const BowDescription &bow, const MeshSettings &mesh_settings, const SolveSettings &settings,
           const std::atomic<bool> *stop);
  ~DrawnBow();
  DrawnBow(const DrawnBow &) = delete;
  DrawnBow &operator=(const DrawnBow &) = delete;

  /// Weight, brace tension, tiller, strains and indices at full draw, judged as changed() judges; or why there are none.
  const DrawResults &results() const { return base; }

  /// The same of a bow that differs a little, its brace height included. The difference divided by that of the description is the
  /// derivative. Throws std::invalid_argument where the other bow's mesh is not the same, moved.
  DrawResults changed(const BowDescription &other) const;

private:
  struct Work;
  std::unique_ptr<Work> work;
  DrawResults base;
};
} // namespace limbwright
