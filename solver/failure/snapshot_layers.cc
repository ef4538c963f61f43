// Laminations and sections in LimbJudgeOf.
#include "solver/failure/snapshot.h"

#include "materials/law/turned_grain.h"
#include "meshing/mesh/limb_mesh.h"

#include <algorithm>
#include <cmath>

namespace limbwright
{
namespace
{
// Stress of a section's point in the lamination's grain axes, in the order of LayeredSolid. turn [rad]: the grain from the
// limb's line, in the side view.
template <int dim>
typename LayeredSolid<dim>::Strain grain_stress_of(const SectionStress &stress, double turn)
{
  const Eigen::Vector3d side = dive_strains(-turn).transpose() * Eigen::Vector3d(stress.along, stress.through, stress.shear);
  typename LayeredSolid<dim>::Strain result = LayeredSolid<dim>::Strain::Zero();
  result[0] = side[0];
  result[1] = side[1];
  result[LayeredSolid<dim>::shear_LN] = side[2];
  return result;
}
} // namespace

template <int dim>
double LimbJudgeOf<dim>::structural_weight(int node, std::size_t station) const
{
  const StructuralWeight &weight = weights[station];
  if (solid.weak_parts_at(node) != nullptr)
    return weight.near_end < 1. ? 0. : 1.;
  return weight.of_section();
}

template <int dim>
NodalFieldsOf<dim> LimbJudgeOf<dim>::judged_fields(const NodalFieldsOf<dim> &recovered,
                                                   const std::vector<typename LimbSections<dim>::Groups> &forces) const
{
  // Structural values, and what they count.
  NodalFieldsOf<dim> judged = recovered;
  std::vector<double> weight(recovered.strain.size(), 0.);
  for (std::size_t c = 0; c < sections.cuts().size(); ++c)
  {
    const auto &cut = sections.cuts()[c];
    if (weights[cut.station].of_section() == 0. || !section_states[c].found)
      continue;
    const std::vector<SectionStress> stresses = cut.section.stresses(forces[c], section_states[c]);
    for (std::size_t p = 0; p < cut.nodes.size(); ++p)
    {
      const auto node = static_cast<std::size_t>(cut.nodes[p]);
      const double counts = structural_weight(cut.nodes[p], cut.station);
      if (counts == 0. || (weight[node] > 0. && std::abs(judged.strain[node][0]) >= std::abs(stresses[p].strain)))
        continue;
      const auto l = static_cast<std::size_t>(solid.nodes()[node].lamination);
      const double turn = sections.grain_turn(cut, l);
      weight[node] = counts;
      judged.strain[node].setZero();
      judged.strain[node][0] = stresses[p].strain;
      judged.stress[node] = grain_stress_of<dim>(stresses[p], turn);
      judged.crushed.at_node[node] = stresses[p].crushed;
    }
  }
  // The nodes in the middle of a column between two structural faces: the mean of both.
  for (const auto &cell : solid.cells())
    for (int k = 0; k < LayeredSolid<dim>::n_nodes_per_cell; ++k)
      if (k / 3 % 3 == 1)
      {
        const auto root = static_cast<std::size_t>(cell.nodes[k - 3]), tip = static_cast<std::size_t>(cell.nodes[k + 3]),
                   node = static_cast<std::size_t>(cell.nodes[k]);
        if (weight[root] == 0. || weight[tip] == 0.)
          continue;
        weight[node] = 0.5 * (weight[root] + weight[tip]);
        judged.strain[node] = 0.5 * (judged.strain[root] + judged.strain[tip]);
        judged.stress[node] = 0.5 * (judged.stress[root] + judged.stress[tip]);
        judged.crushed.at_node[node] = 0.5 * (judged.crushed.at_node[root] + judged.crushed.at_node[tip]);
      }
  judged.structural.assign(weight.size(), false);
  for (std::size_t node = 0; node < weight.size(); ++node)
    if (const double w = weight[node]; w > 0.)
    {
      judged.structural[node] = w > 0.5;
      judged.strain[node] += (1. - w) * (recovered.strain[node] - judged.strain[node]);
      judged.stress[node] += (1. - w) * (recovered.stress[node] - judged.stress[node]);
      judged.crushed.at_node[node] += (1. - w) * (recovered.crushed.at_node[node] - judged.crushed.at_node[node]);
    }
  return judged;
}

template <int dim>
void LimbJudgeOf<dim>::judge_layers(Verdict &verdict, const Eigen::VectorXd &u, const Offer &offer)
{
  const LimbShape &shape = solid.shape();
  const auto &forces = verdict.section_forces = sections.forces(u);
  section_states = sections.solve(forces, section_states);
  weights = weights_of(forces);
  verdict.judged = judged_fields(verdict.fields, forces);
  const NodalFieldsOf<dim> &fields = verdict.judged;
  const std::vector<SectionFit> fits = fit_sections(solid, verdict.fields);
  std::size_t cut = 0;
  for (std::size_t j = 0; j < fits.size(); ++j)
  {
    const double station = fits[j].station;
    const double outer_back = shape.outer_back_depth(station), outer_belly = shape.outer_belly_depth(station);
    SectionState section;
    section.station = station;
    section.width = shape.width(station);
    section.stack = shape.stack(station);
    SectionFit change = fits[j] - at_rest[j];
    for (bool first = true; cut < sections.cuts().size() && sections.cuts()[cut].station == j; ++cut, first = false)
    {
      const FibreSectionState &state = section_states[cut];
      if (!state.found)
        continue;
      section.yielded_share = std::max(section.yielded_share, sections.cuts()[cut].section.yielded(state));
      const double w = weights[j].of_section();
      if (!first || w == 0.)
        continue;
      // Of an open patch the thicker side.
      int thickest = -1;
      for (const auto &[l, nodes] : sections.cuts()[cut].middle_nodes)
        if (thickest < 0 ||
            shape.thickness(static_cast<std::size_t>(l), station) > shape.thickness(static_cast<std::size_t>(thickest), station))
          thickest = l;
      const SectionBending &now = state.bending[static_cast<std::size_t>(thickest)],
                           &before = sections_at_rest[cut].bending[static_cast<std::size_t>(thickest)];
      const SectionFit &fit = change;
      change = {station, fit.axis + w * (now.axis - before.axis - fit.axis),
                fit.slope + w * (now.slope - before.slope - fit.slope),
                fit.sideways + w * (now.sideways - before.sideways - fit.sideways)};
    }
    section.curvature_change = -change.slope;
    section.axis_strain = change.at(0.5 * (outer_back + outer_belly));
    section.fit_belly_strain = change.at(outer_belly);
    section.fit_back_strain = change.at(outer_back);
    const int back_node = std::min_element(section_shares[j].begin(), section_shares[j].end(),
                                           [&](const auto &a, const auto &b)
                                           {
                                             const auto &first = solid.nodes()[a.first], &second = solid.nodes()[b.first];
                                             return std::pair(first.depth, std::abs(first.across)) <
                                                    std::pair(second.depth, std::abs(second.across));
                                           })
                              ->first;
    section.x = solid.nodes()[back_node].place[0] + u[dim * back_node];
    section.y = solid.nodes()[back_node].place[1] + u[dim * back_node + 1];
    set_sideways(section, section_shares[j], u);
    std::map<std::pair<int, Face>, FaceState> faces; // of a solid: where the strain is greatest across the width

    for (const int node : nodes_at[j])
    {
      const auto n = static_cast<std::size_t>(node);
      const auto &place = solid.nodes()[n];
      const double back = shape.back_face_depth(static_cast<std::size_t>(place.lamination), station),
                   belly = shape.belly_face_depth(static_cast<std::size_t>(place.lamination), station);
      const double tolerance = 1e-6 * (belly - back);
      const Face face = place.depth - back < tolerance    ? Face::back
                        : belly - place.depth < tolerance ? Face::belly
                                                          : Face::inside;
      const bool structural = fields.structural[n];
      if (face != Face::inside)
      {
        const auto &stress = fields.stress[n];
        FaceState state{station,
                        place.lamination,
                        face,
                        fields.strain[n][0],
                        stress[0],
                        stress[1],
                        stress[LayeredSolid<dim>::shear_LN],
                        solid.mesh().near_end(station),
                        fields.crushed.at_node[n]};
        state.raw_strain_along = verdict.fields.strain[n][0];
        state.raw_stress_along = verdict.fields.stress[n][0];
        state.structural = structural;
        const auto [entry, is_new] = faces.try_emplace({place.lamination, face}, state);
        if (!is_new && std::abs(state.strain_along) > std::abs(entry->second.strain_along))
          entry->second = state;
      }
      for (const auto &[mode, note] : indices_at(node, fields))
      {
        HotSpot spot = spot_of(verdict.snapshot.limb, station, mode, structural);
        spot.across = place.across;
        spot.lamination = place.lamination;
        spot.face = face;
        spot.note = note;
        offer(spot);
      }
    }
    for (const auto &[where, state] : faces)
      verdict.snapshot.faces.push_back(state);
    verdict.snapshot.sections.push_back(section);
  }
}

template double LimbJudgeOf<2>::structural_weight(int, std::size_t) const;
template NodalFieldsOf<2> LimbJudgeOf<2>::judged_fields(const NodalFieldsOf<2> &,
                                                        const std::vector<LimbSections<2>::Groups> &) const;
template void LimbJudgeOf<2>::judge_layers(Verdict &, const Eigen::VectorXd &, const Offer &);
template double LimbJudgeOf<3>::structural_weight(int, std::size_t) const;
template NodalFieldsOf<3> LimbJudgeOf<3>::judged_fields(const NodalFieldsOf<3> &,
                                                        const std::vector<LimbSections<3>::Groups> &) const;
template void LimbJudgeOf<3>::judge_layers(Verdict &, const Eigen::VectorXd &, const Offer &);
} // namespace limbwright
