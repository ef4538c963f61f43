#include "solver/fields/shared_vtu.h"

namespace limbwright
{
namespace
{
std::string piece(const std::string &stem, int rank)
{
  return stem + "_part_" + std::to_string(rank) + ".vtu";
}
} // namespace

std::string own_vtu(const Communicator &ranks, const std::string &stem)
{
  return ranks.n_ranks() == 1 ? stem + ".vtu" : piece(stem, ranks.rank());
}

std::string write_shared(const Communicator &ranks, const std::filesystem::path &folder, const std::string &stem,
                         const FieldMesh &mesh, const std::vector<FieldArray> &arrays)
{
  write_vtu(folder / own_vtu(ranks, stem), mesh, arrays);
  if (ranks.n_ranks() == 1)
    return stem + ".vtu";
  std::vector<std::string> pieces;
  for (int rank = 0; rank < ranks.n_ranks(); ++rank)
    pieces.push_back(piece(stem, rank));
  if (ranks.rank() == 0)
    write_pvtu(folder / (stem + ".pvtu"), pieces, arrays);
  return stem + ".pvtu";
}
} // namespace limbwright
