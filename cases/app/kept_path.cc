#include "cases/app/kept_path.h"

#include "cases/report/text_file.h"
#include "solver/model/communicator.h"

#include <algorithm>

namespace limbwright
{
KeptPath::KeptPath(const std::filesystem::path &results_folder, const Case &the_case, bool resume) : bow_case(the_case)
{
  if (bow_case.solve.dimension == 3) // only solids are shared among ranks
  {
    const Communicator ranks = Communicator::world();
    share = {ranks.rank(), ranks.n_ranks()};
  }
  place = results_folder.has_filename() ? results_folder : results_folder.parent_path();
  place += share.rank == 0 ? ".begun.h5" : ".begun." + std::to_string(share.rank) + ".h5";
  if (resume)
    begun = read_path_file(place, bow_case, share);
  kept = resume;
}

void KeptPath::write(const DrawPath &path)
{
  const auto start = Clock::now();
  write_path_file(place, bow_case, share, path);
  last = Clock::now();
  pause = std::max(pause, 20 * (last - start));
  n_steps_kept = path.steps.size();
  waiting.reset();
  kept = true;
}

PathKeeping KeptPath::keeping()
{
  const auto keep = [this](const DrawPath &path, bool at_the_end)
  {
    if (at_the_end || Clock::now() - last >= pause)
    {
      if (path.stringing || path.steps.size() != n_steps_kept) // letting down adds nothing
        write(path);
    }
    else
      waiting = path;
  };
  return {keep, begun ? &*begun : nullptr};
}

std::string KeptPath::how_to_go_on()
{
  try
  {
    if (waiting)
      write(*waiting);
  }
  catch (const CannotWrite &)
  {
    waiting.reset(); // the disk is full, as the failure itself tells
  }
  return kept ? "The draw so far is kept in " + place.string() + "; resume it with --resume.\n" : std::string();
}

void KeptPath::end(bool complete)
{
  if (share.n_ranks > 1)
    complete = !Communicator::world().any(!complete);
  waiting.reset();
  if (!complete)
    return;
  remove_path_file(place);
  kept = false;
}
} // namespace limbwright
