// Edges of the glue in LimbJudgeOf: the energies there beside what parting takes.
#include "solver/failure/energy_release.h"
#include "solver/failure/free_edges.h"
#include "solver/failure/snapshot.h"
#include "solver/model/glue_bond.h"

#include <cmath>

namespace limbwright
{
template <int dim>
void LimbJudgeOf<dim>::set_toughness(PatchEnd &end, const CohesiveBond &bond) const
{
  const LooseLayer loose = solid.shape().loose_layer(static_cast<std::size_t>(end.line), end.station);
  const double toughness = fracture_energy(bond, end.sliding_share());
  end.toughness = std::isfinite(toughness) ? toughness : not_known; // a split in what is no wood
  end.process_zone =
      process_zone_length(bond, end.sliding_share(), material(static_cast<int>(loose.lamination)).constants.E_L, loose.thickness);
}

// At a lamination's end the line may go on to another lamination: that on the side to which it would part counts.
template <int dim>
int LimbJudgeOf<dim>::back_of_edge(const PatchEnd &edge) const
{
  return back_of_line(edge.line, edge.sideways ? edge.station : edge.station + (edge.toward_tip ? 0.5 : -0.5) * same_station);
}

template <int dim>
std::vector<PatchEnd> LimbJudgeOf<dim>::patch_ends(const Eigen::VectorXd &u) const
{
  const auto &laminations = solid.shape().description().laminations;
  std::vector<PatchEnd> ends = energy_release(solid, u);
  for (PatchEnd &end : ends)
  {
    const int back = end.back_lamination = back_of_edge(end);
    set_toughness(end, parting_bond(adhesive_of_line(end.line), material(end.line), laminations[end.line].ring, material(back),
                                    laminations[back].ring));
  }
  return ends;
}

template <int dim>
std::vector<PatchEnd> LimbJudgeOf<dim>::glue_free_edges(const Eigen::VectorXd &u) const
{
  const auto &limb = solid.shape().description();
  std::vector<PatchEnd> edges = free_edges(solid, u);
  for (PatchEnd &edge : edges)
  {
    const int back = edge.back_lamination = back_of_edge(edge);
    const GlueBond bond(limb.glue[static_cast<std::size_t>(edge.line)], holding_at(edge.line, edge.station, edge.across).second,
                        dim == 2, adhesives);
    set_toughness(
        edge, bond.parting(material(edge.line), limb.laminations[edge.line].ring, material(back), limb.laminations[back].ring));
  }
  return edges;
}

template int LimbJudgeOf<2>::back_of_edge(const PatchEnd &) const;
template void LimbJudgeOf<2>::set_toughness(PatchEnd &, const CohesiveBond &) const;
template std::vector<PatchEnd> LimbJudgeOf<2>::patch_ends(const Eigen::VectorXd &) const;
template std::vector<PatchEnd> LimbJudgeOf<2>::glue_free_edges(const Eigen::VectorXd &) const;
template int LimbJudgeOf<3>::back_of_edge(const PatchEnd &) const;
template void LimbJudgeOf<3>::set_toughness(PatchEnd &, const CohesiveBond &) const;
template std::vector<PatchEnd> LimbJudgeOf<3>::patch_ends(const Eigen::VectorXd &) const;
template std::vector<PatchEnd> LimbJudgeOf<3>::glue_free_edges(const Eigen::VectorXd &) const;
} // namespace limbwright
