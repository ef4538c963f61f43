#include "cases/app/kept_path.h"

#include "solver/model/communicator.h"

namespace limbwright
{
KeptPath::KeptPath(const std::filesystem::path &results_folder, const Case &the_case, bool resume) : bow_case(the_case)
{
  if (bow_case.solve.dimension == 3) // only solids are shared among ranks
  {
    const Communicator ranks = Communicator::world();
    share = {ranks.rank(), ranks.n_ranks()};
  }
  file = results_folder.has_filename() ? results_folder : results_folder.parent_path();
  file += share.rank == 0 ? ".begun.h5" : ".begun." + std::to_string(share.rank) + ".h5";
  if (resume)
    begun = read_path_file(file, bow_case, share);
  kept = resume;
}

PathKeeping KeptPath::keeping()
{
  const auto keep = [this](const DrawPath &path, bool at_the_end)
  {
    constexpr std::chrono::seconds worth_keeping(10);
    const auto now = std::chrono::steady_clock::now();
    if (!at_the_end && now - last < worth_keeping)
      return;
    write_path_file(file, bow_case, share, path);
    last = now;
    kept = true;
  };
  return {keep, begun ? &*begun : nullptr};
}

std::string KeptPath::how_to_go_on() const
{
  return kept ? "What was reached is kept in " + file.string() + "; draw with --resume to go on from there.\n" : std::string();
}

void KeptPath::clear()
{
  std::error_code ignored;
  std::filesystem::remove(file, ignored);
  kept = false;
}
} // namespace limbwright
