// Glue lines, their edges and wraps in LimbJudgeOf.
#include "meshing/mesh/limb_mesh.h"
#include "solver/failure/glue_traction.h"
#include "solver/failure/snapshot.h"

#include <cmath>

namespace limbwright
{
template <int dim>
void LimbJudgeOf<dim>::judge_glue(Verdict &verdict, const Eigen::VectorXd &u, const Offer &offer) const
{
  const LimbShape &shape = solid.shape();
  const auto &laminations = shape.description().laminations;
  for (int line = 0; line + 1 < static_cast<int>(laminations.size()); ++line)
  {
    for (const LineTraction &traction : over_the_width(line_tractions(solid, line, u, averaging_length(line))))
    {
      GlueState state;
      state.station = traction.station;
      state.line = line;
      state.thickness = traction.thickness;
      state.shear = traction.shear;
      state.peel = traction.peel;
      state.mean_shear = traction.mean_shear;
      state.mean_peel = traction.mean_peel;
      state.near_end = solid.mesh().near_end(traction.station);
      state.parted = traction.parted;
      state.let_go = traction.let_go;
      if (traction.opened > 0.)
        state.lift = traction.opened / shape.loose_layer(static_cast<std::size_t>(line), traction.station).thickness;
      state.back_lamination = back_of_line(line, traction.station);
      verdict.snapshot.glue.push_back(state);
    }
    for (const LineTraction &traction : line_tractions(solid, line, u, averaging_length(line), Sampling::fine))
    {
      if (within_reach_of_load(traction.station))
        continue;
      const auto [holding, patch] = holding_at(line, traction.station, traction.across);
      if (holding == 0.)
        continue; // what presses there is no glue
      const BondStrength strength = strength_of_line(line, traction.station, traction.across);
      const double shear = std::hypot(traction.mean_shear, traction.mean_shear_across);
      for (const ModeIndex &mode : glue_indices(strength, traction.mean_peel, shear))
      {
        HotSpot spot = spot_of(verdict.snapshot.limb, traction.station, mode, true);
        spot.across = traction.across;
        spot.glue_line = line;
        spot.back_lamination = back_of_line(line, traction.station);
        spot.face = Face::inside;
        if ((mode.mode == FailureMode::glue_shear && strength.shear_by_lamination) ||
            (mode.mode == FailureMode::glue_peel && strength.peel_by_lamination))
          spot.note = "the wood or glass lets go before the glue does";
        if (patch != nullptr && (holding < 1. || patch->filled()))
          spot.note = patch->filled() ? "filled there, as the bow file says"
                      : shape.description().glue[static_cast<std::size_t>(line)].of_split
                          ? "split there, as the bow file says"
                          : "weak glue there, as the bow file says";
        offer(spot);
      }
    }
  }
}

template <int dim>
void LimbJudgeOf<dim>::judge_edges(Verdict &verdict, const Eigen::VectorXd &u, const Offer &offer) const
{
  const LimbShape &shape = solid.shape();
  verdict.snapshot.patch_ends = patch_ends(u);
  verdict.snapshot.free_edges = glue_free_edges(u);
  const auto offer_edge = [&](const PatchEnd &end, FailureMode mode)
  {
    // Glue that can part shows by itself whether it grows.
    if (!(end.toughness > 0.) || shape.description().glue[static_cast<std::size_t>(end.line)].cohesive)
      return;
    HotSpot spot = spot_of(verdict.snapshot.limb, end.station, ModeIndex{mode, end.index(), end.total(), end.toughness}, false);
    spot.across = end.across;
    spot.glue_line = end.line;
    spot.back_lamination = end.back_lamination;
    spot.face = Face::inside;
    offer(spot);
  };
  for (const PatchEnd &end : verdict.snapshot.patch_ends)
    offer_edge(end, FailureMode::patch_growth);
  for (const PatchEnd &edge : verdict.snapshot.free_edges)
    if (!within_reach_of_load(edge.station))
      offer_edge(edge, FailureMode::edge_growth);
}

template <int dim>
void LimbJudgeOf<dim>::judge_wraps(const Verdict &verdict, const Eigen::VectorXd &u, const Offer &offer) const
{
  const LimbShape &shape = solid.shape();
  for (const auto &band : solid.bands())
    if (const double strength = shape.description().wraps[static_cast<std::size_t>(band.wrap)].strength; strength > 0.)
    {
      const auto &node = solid.nodes()[static_cast<std::size_t>(band.back_node)];
      const double stress = solid.thread_stress(band, u);
      HotSpot spot = spot_of(verdict.snapshot.limb, node.station,
                             ModeIndex{FailureMode::wrap_breaks, stress / strength, stress, strength}, false);
      spot.across = node.across;
      offer(spot);
    }
}

template void LimbJudgeOf<2>::judge_glue(Verdict &, const Eigen::VectorXd &, const Offer &) const;
template void LimbJudgeOf<2>::judge_edges(Verdict &, const Eigen::VectorXd &, const Offer &) const;
template void LimbJudgeOf<2>::judge_wraps(const Verdict &, const Eigen::VectorXd &, const Offer &) const;
template void LimbJudgeOf<3>::judge_glue(Verdict &, const Eigen::VectorXd &, const Offer &) const;
template void LimbJudgeOf<3>::judge_edges(Verdict &, const Eigen::VectorXd &, const Offer &) const;
template void LimbJudgeOf<3>::judge_wraps(const Verdict &, const Eigen::VectorXd &, const Offer &) const;
} // namespace limbwright
