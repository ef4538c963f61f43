#include "solver/failure/snapshot.h"

#include "meshing/mesh/limb_mesh.h"
#include "solver/failure/sideways_motion.h"
#include "solver/model/glue_bond.h"

#include <algorithm>
#include <cmath>
#include <tuple>

namespace limbwright
{
namespace
{
using WorstPlaces = std::map<std::tuple<int, int, int, FailureMode>, HotSpot>; // by lamination, glue line, its back, mode

void offer_place(WorstPlaces &worst, const HotSpot &spot)
{
  const auto [entry, is_new] = worst.try_emplace({spot.lamination, spot.glue_line, spot.back_lamination, spot.mode}, spot);
  if (!is_new && spot.index > entry->second.index)
    entry->second = spot;
}

std::vector<HotSpot> by_index(const WorstPlaces &worst)
{
  std::vector<HotSpot> list;
  for (const auto &[key, spot] : worst)
    list.push_back(spot);
  std::sort(list.begin(), list.end(), [](const HotSpot &a, const HotSpot &b) { return a.index > b.index; });
  return list;
}
} // namespace

template <int dim>
LimbJudgeOf<dim>::LimbJudgeOf(const LayeredSolid<dim> &limb_solid, const std::map<std::string, Material> &material_table,
                              const std::map<std::string, Adhesive> &adhesive_table, double averaging)
    : solid(limb_solid),
      materials(material_table),
      adhesives(adhesive_table),
      stated_averaging_length(averaging),
      flaw_list(flaws(limb_solid.shape()))
{
  for (const double station : solid.column_stations())
  {
    section_shares.push_back(solid.section_shares(station));
    near_end.push_back(solid.mesh().near_end(station));
  }
  const Eigen::VectorXd none = Eigen::VectorXd::Zero(dim * static_cast<Eigen::Index>(solid.nodes().size()));
  at_rest = fit_sections(solid, recover_nodal_fields(solid, none));
}

template <int dim>
const Material &LimbJudgeOf<dim>::material(int lamination) const
{
  return materials.at(solid.shape().description().laminations[lamination].material);
}

template <int dim>
double LimbJudgeOf<dim>::averaging_length(int line) const
{
  if (stated_averaging_length > 0.)
    return stated_averaging_length;
  const auto &laminations = solid.shape().description().laminations;
  const auto largest = [&](int l)
  { return *std::max_element(laminations[l].thickness.value.begin(), laminations[l].thickness.value.end()); };
  return std::min(largest(line), largest(line + 1));
}

template <int dim>
int LimbJudgeOf<dim>::back_of_line(int line, double station) const
{
  const std::size_t next = solid.shape().next_toward_back(static_cast<std::size_t>(line), station);
  return std::min(static_cast<int>(next), static_cast<int>(solid.shape().n_laminations()) - 1);
}

// A bond without a glue layer is judged by the woods alone.
template <int dim>
const Adhesive &LimbJudgeOf<dim>::adhesive_of_line(int line) const
{
  return adhesive_called(adhesives, solid.shape().description().glue[static_cast<std::size_t>(line)].adhesive);
}

template <int dim>
std::pair<double, const GluePatch *> LimbJudgeOf<dim>::holding_at(int line, double station, double across) const
{
  const GluePatch *patch = patch_at(solid.shape().description().glue[static_cast<std::size_t>(line)], station);
  if (patch == nullptr || (dim == 3 && !patch->reaches(across, solid.shape().width(station))))
    return {1., nullptr};
  return {dim == 2 ? patch->holding() : patch->strength, patch};
}

template <int dim>
BondStrength LimbJudgeOf<dim>::strength_of_line(int line, double station, double across) const
{
  const LimbDescription &limb = solid.shape().description();
  const int back = back_of_line(line, station);
  const GlueBond bond(limb.glue[static_cast<std::size_t>(line)], holding_at(line, station, across).second, dim == 2, adhesives);
  return bond.strength(material(line), limb.laminations[line].ring, material(back), limb.laminations[back].ring);
}

template <int dim>
void LimbJudgeOf<dim>::set_sideways(SectionState &section, const std::map<int, double> &shares, const Eigen::VectorXd &u) const
{
  if (dim == 2 || solid.half_width())
    return;
  const SidewaysMotion motion = sideways_motion(solid, section.station, shares, u);
  section.drift = motion.drift;
  section.twist = motion.twist;
}

// The rigid handle and the nock press on the section in a way of their own; within one thickness of them it is not the limb's.
template <int dim>
bool LimbJudgeOf<dim>::within_reach_of_load(double station) const
{
  const LimbDescription &limb = solid.shape().description();
  const double reach = solid.shape().stack(station);
  return station < limb.root_station + reach || std::abs(station - limb.nock.station) < reach;
}

template <int dim>
std::vector<typename LimbJudgeOf<dim>::NotedIndex> LimbJudgeOf<dim>::indices_at(int node, const NodalFieldsOf<dim> &fields) const
{
  const Strain &strain = fields.strain[static_cast<std::size_t>(node)], &stress = fields.stress[static_cast<std::size_t>(node)];

  static const std::string slants = "the grain slants there, as the case says";
  const LimbDescription &limb = solid.shape().description();
  const auto &place = solid.nodes()[static_cast<std::size_t>(node)];
  const LaminationDescription &lamination = limb.laminations[static_cast<std::size_t>(place.lamination)];
  const Material &wood = material(place.lamination);
  const bool run_out = lamination.run_out.at(place.station) != 0.;
  std::vector<NotedIndex> result;
  const auto add = [&](const std::vector<ModeIndex> &modes, const std::string &note)
  {
    for (const ModeIndex &mode : modes)
      result.push_back({mode, note});
  };
  const auto *weak = solid.weak_parts_at(node);
  if (weak == nullptr)
  {
    add(lamination_indices(wood, lamination.ring, strain, stress, false), "");
    if (run_out)
      add(slanting_indices(wood, lamination.ring, grain_stress(stress)), slants);
    return result;
  }
  const std::vector<double> &strips = fields.crushed.of_strip.at(node);
  for (std::size_t i = 0; i < weak->size(); ++i)
  {
    const WeakPartOf<dim> &part = (*weak)[i];
    const Knot *knot = part.strip.knot < 0 ? nullptr : &limb.weak.knots[static_cast<std::size_t>(part.strip.knot)];
    const Strain own = part.to_own * strain, own_share = own_stress(part, own, strips[i]).stress;
    add(weak_indices(wood, lamination.ring, part, knot, own, own_share), knot != nullptr           ? "in a knot"
                                                                         : part.strip.grain.none() ? ""
                                                                                                   : slants);
    if (knot == nullptr && part.strip.grain.none() && run_out)
      add(slanting_indices(wood, lamination.ring, grain_stress(own_share)), slants);
  }
  return result;
}

template <int dim>
typename LimbJudgeOf<dim>::Verdict LimbJudgeOf<dim>::judge(LimbName name, const Eigen::VectorXd &u)
{
  Verdict verdict;
  verdict.snapshot.limb = name;
  const LimbShape &shape = solid.shape();
  const auto &laminations = shape.description().laminations;
  verdict.fields = recover_nodal_fields(solid, u, crushed);
  const NodalFieldsOf<dim> &fields = verdict.fields;
  crushed = fields.crushed;
  fibre_crushed.resize(crushed.at_node.size(), 0.);
  const std::vector<SectionFit> fits = fit_sections(solid, fields);

  WorstPlaces worst;
  const auto spot_at = [name](double station, const ModeIndex &mode, bool averaged)
  {
    HotSpot spot;
    spot.limb = name;
    spot.station = station;
    spot.mode = mode.mode;
    spot.index = mode.index;
    spot.value = mode.value;
    spot.limit = mode.limit;
    spot.averaged = averaged;
    return spot;
  };
  std::vector<WorstPlaces> near(flaw_list.size());
  const auto offer = [&](const HotSpot &spot)
  {
    offer_place(worst, spot);
    for (std::size_t i = 0; i < flaw_list.size(); ++i)
      if (counts_for(flaw_list, i, spot.station))
        offer_place(near[i], spot);
  };

  for (std::size_t j = 0; j < fits.size(); ++j)
  {
    const double station = fits[j].station;
    const double outer_back = shape.outer_back_depth(station), outer_belly = shape.outer_belly_depth(station);
    SectionState section;
    section.station = station;
    section.width = shape.width(station);
    section.stack = shape.stack(station);
    const SectionFit change = fits[j] - at_rest[j];
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

    for (const auto &[node, share] : section_shares[j])
    {
      const auto &place = solid.nodes()[node];
      typename LayeredSolid<dim>::Strain strain = fields.strain[node], stress = fields.stress[node];
      double shortening = fields.crushed.at_node[node];
      if (near_end[j])
      {
        strain[0] = fits[j].at(place.depth + place.fallen, place.place[2]) +
                    shape.prestrain(static_cast<std::size_t>(place.lamination), place.station, place.depth + place.slanted);
        const FibreStress fibre = fibre_stress(solid, place.lamination, material(place.lamination).constants.E_L, strain[0],
                                               fibre_crushed[static_cast<std::size_t>(node)]);
        stress[0] = fibre.stress;
        shortening = fibre_crushed[static_cast<std::size_t>(node)] = fibre.crushed;
      }
      if (shortening > 0.)
        section.yielded_share += share;
      const double back = shape.back_face_depth(place.lamination, station),
                   belly = shape.belly_face_depth(place.lamination, station);
      const double tolerance = 1e-6 * (belly - back);
      const Face face = place.depth - back < tolerance    ? Face::back
                        : belly - place.depth < tolerance ? Face::belly
                                                          : Face::inside;
      if (face != Face::inside)
      {
        const FaceState state{
            station,     place.lamination, face, strain[0], stress[0], stress[1], stress[LayeredSolid<dim>::shear_LN],
            near_end[j], shortening};
        const auto [entry, is_new] = faces.try_emplace({place.lamination, face}, state);
        if (!is_new && std::abs(strain[0]) > std::abs(entry->second.strain_along))
          entry->second = state;
      }
      const auto offer_here = [&](const ModeIndex &mode, const std::string &note)
      {
        HotSpot spot = spot_at(station, mode, near_end[j]);
        spot.across = place.across;
        spot.lamination = place.lamination;
        spot.face = face;
        spot.note = note;
        offer(spot);
      };
      if (near_end[j])
        for (const ModeIndex &mode :
             lamination_indices(material(place.lamination), laminations[place.lamination].ring, strain, stress, true))
          offer_here(mode, "");
      else
        for (const auto &[mode, note] : indices_at(node, fields))
          offer_here(mode, note);
    }
    for (const auto &[where, state] : faces)
      verdict.snapshot.faces.push_back(state);
    verdict.snapshot.sections.push_back(section);
  }

  for (int line = 0; line + 1 < static_cast<int>(laminations.size()); ++line)
  {
    const std::vector<LineTraction> rows = line_tractions(solid, line, u, averaging_length(line));
    for (const LineTraction &traction : over_the_width(rows))
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
      if (traction.opened > 0.)
        state.lift = traction.opened / shape.loose_layer(static_cast<std::size_t>(line), traction.station).thickness;
      state.back_lamination = back_of_line(line, traction.station);
      verdict.snapshot.glue.push_back(state);
    }
    for (const LineTraction &traction : rows)
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
        HotSpot spot = spot_at(traction.station, mode, true);
        spot.across = traction.across;
        spot.glue_line = line;
        spot.back_lamination = back_of_line(line, traction.station);
        spot.face = Face::inside;
        if ((mode.mode == FailureMode::glue_shear && strength.shear_by_lamination) ||
            (mode.mode == FailureMode::glue_peel && strength.peel_by_lamination))
          spot.note = "the wood or glass beside the glue is the weaker";
        if (patch != nullptr && (holding < 1. || patch->filled()))
          spot.note = patch->filled() ? "it is filled there, as the case says"
                      : shape.description().glue[static_cast<std::size_t>(line)].of_split
                          ? "it is split there, as the case says"
                          : "the glue is weak there, as the case says";
        offer(spot);
      }
    }
  }

  verdict.snapshot.patch_ends = patch_ends(u);
  verdict.snapshot.free_edges = glue_free_edges(u);
  const auto offer_edge = [&](const PatchEnd &end, FailureMode mode)
  {
    // Glue that can part shows by itself whether it grows.
    if (!(end.toughness > 0.) || shape.description().glue[static_cast<std::size_t>(end.line)].cohesive)
      return;
    HotSpot spot = spot_at(end.station, ModeIndex{mode, end.index(), end.total(), end.toughness}, false);
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

  for (const auto &band : solid.bands())
    if (const double strength = shape.description().wraps[static_cast<std::size_t>(band.wrap)].strength; strength > 0.)
    {
      const auto &node = solid.nodes()[static_cast<std::size_t>(band.back_node)];
      const double stress = solid.thread_stress(band, u);
      HotSpot spot = spot_at(node.station, ModeIndex{FailureMode::wrap_breaks, stress / strength, stress, strength}, false);
      spot.across = node.across;
      offer(spot);
    }

  verdict.worst = by_index(worst);
  for (std::size_t i = 0; i < flaw_list.size(); ++i)
    verdict.snapshot.flaws.push_back({flaw_list[i], by_index(near[i])});
  return verdict;
}

template class LimbJudgeOf<2>;
template class LimbJudgeOf<3>;
} // namespace limbwright
