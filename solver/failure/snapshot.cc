#include "solver/failure/snapshot.h"

#include "meshing/mesh/limb_mesh.h"
#include "solver/failure/energy_release.h"

#include <algorithm>
#include <cmath>
#include <tuple>

namespace limbwright
{
LimbJudge::LimbJudge(const LayeredSolid<2> &limb_solid, const std::map<std::string, Material> &material_table,
                     const std::map<std::string, Adhesive> &adhesive_table, double averaging)
    : solid(limb_solid), materials(material_table), adhesives(adhesive_table), stated_averaging_length(averaging)
{
  for (const double station : solid.column_stations())
  {
    section_shares.push_back(solid.section_shares(station));
    near_end.push_back(solid.mesh().near_end(station));
  }
  const Eigen::VectorXd none = Eigen::VectorXd::Zero(2 * static_cast<Eigen::Index>(solid.nodes().size()));
  at_rest = fit_sections(solid, recover_nodal_fields(solid, none));
}

const Material &LimbJudge::material(int lamination) const
{
  return materials.at(solid.shape().description().laminations[lamination].material);
}

double LimbJudge::averaging_length(int line) const
{
  if (stated_averaging_length > 0.)
    return stated_averaging_length;
  const auto &laminations = solid.shape().description().laminations;
  const auto largest = [&](int l)
  { return *std::max_element(laminations[l].thickness.value.begin(), laminations[l].thickness.value.end()); };
  return std::min(largest(line), largest(line + 1));
}

int LimbJudge::back_of_line(int line, double station) const
{
  const std::size_t next = solid.shape().next_toward_back(static_cast<std::size_t>(line), station);
  return std::min(static_cast<int>(next), static_cast<int>(solid.shape().n_laminations()) - 1);
}

// A bond without a glue layer is judged by the woods alone.
const Adhesive &LimbJudge::adhesive_of_line(int line) const
{
  static const Adhesive none = []
  {
    Adhesive adhesive;
    adhesive.tensile_strength = adhesive.shear_strength = std::numeric_limits<double>::infinity();
    return adhesive;
  }();
  const auto found = adhesives.find(solid.shape().description().glue[static_cast<std::size_t>(line)].adhesive);
  return found == adhesives.end() ? none : found->second;
}

BondStrength LimbJudge::strength_of_line(int line, double station) const
{
  const LimbDescription &limb = solid.shape().description();
  const int back = back_of_line(line, station);
  BondStrength strength = bond_strength(adhesive_of_line(line), material(line), limb.laminations[line].ring, material(back),
                                        limb.laminations[back].ring);
  if (const GluePatch *patch = patch_at(limb.glue[line], station))
  {
    strength.peel *= patch->holding();
    strength.shear *= patch->holding();
  }
  return strength;
}

std::vector<PatchEnd> LimbJudge::patch_ends(const Eigen::VectorXd &u) const
{
  const auto &laminations = solid.shape().description().laminations;
  std::vector<PatchEnd> ends = energy_release(solid, u);
  for (PatchEnd &end : ends)
  {
    const int back = back_of_line(end.line, end.station);
    const CohesiveBond bond = parting_bond(adhesive_of_line(end.line), material(end.line), laminations[end.line].ring,
                                           material(back), laminations[back].ring);
    const LooseLayer loose = solid.shape().loose_layer(static_cast<std::size_t>(end.line), end.station);
    end.toughness = fracture_energy(bond, end.sliding_share());
    end.process_zone = process_zone_length(bond, end.sliding_share(), material(static_cast<int>(loose.lamination)).constants.E_L,
                                           loose.thickness);
  }
  return ends;
}

// The rigid handle and the nock press on the section in a way of their own; within one thickness of them it is not the limb's.
bool LimbJudge::within_reach_of_load(double station) const
{
  const LimbDescription &limb = solid.shape().description();
  const double reach = solid.shape().stack(station);
  return station < limb.root_station + reach || std::abs(station - limb.nock.station) < reach;
}

std::vector<LimbJudge::NotedIndex> LimbJudge::indices_at(int node, const Eigen::Vector3d &strain, const Eigen::Vector3d &stress,
                                                         double crushed_there) const
{
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
  const std::vector<WeakPart> *weak = solid.weak_parts_at(node);
  if (weak == nullptr)
  {
    add(lamination_indices(wood, lamination.ring, strain, stress, false), "");
    if (run_out)
      add(slanting_indices(wood, lamination.ring, grain_stress(stress, 0.)), slants);
    return result;
  }
  for (const WeakPart &part : *weak)
  {
    const Knot *knot = part.strip.knot < 0 ? nullptr : &limb.weak.knots[static_cast<std::size_t>(part.strip.knot)];
    const Eigen::Vector3d own = part.to_own * strain, own_share = own_stress(part, own, crushed_there).stress;
    add(weak_indices(wood, lamination.ring, part, knot, own, own_share), knot != nullptr           ? "in a knot"
                                                                         : part.strip.grain.none() ? ""
                                                                                                   : slants);
    if (knot == nullptr && part.strip.grain.none() && run_out)
      add(slanting_indices(wood, lamination.ring, grain_stress(own_share, 0.)), slants);
  }
  return result;
}

LimbJudge::Verdict LimbJudge::judge(LimbName name, const Eigen::VectorXd &u)
{
  Verdict verdict;
  verdict.snapshot.limb = name;
  const LimbShape &shape = solid.shape();
  const auto &laminations = shape.description().laminations;
  verdict.fields = recover_nodal_fields(solid, u, crushed);
  const NodalFields &fields = verdict.fields;
  crushed = fields.crushed;
  fibre_crushed.resize(crushed.size(), 0.);
  const std::vector<SectionFit> fits = fit_sections(solid, fields);

  std::map<std::tuple<int, int, int, FailureMode>, HotSpot> worst; // by lamination, glue line and what lies on its back, mode
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
  const auto offer = [&](const HotSpot &spot)
  {
    const auto [entry, is_new] = worst.try_emplace({spot.lamination, spot.glue_line, spot.back_lamination, spot.mode}, spot);
    if (!is_new && spot.index > entry->second.index)
      entry->second = spot;
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
                                           { return solid.nodes()[a.first].depth < solid.nodes()[b.first].depth; })
                              ->first;
    section.x = solid.nodes()[back_node].place[0] + u[2 * back_node];
    section.y = solid.nodes()[back_node].place[1] + u[2 * back_node + 1];

    for (const auto &[node, share] : section_shares[j])
    {
      const auto &place = solid.nodes()[node];
      Eigen::Vector3d strain = fields.strain[node], stress = fields.stress[node];
      double shortening = fields.crushed[node];
      if (near_end[j])
      {
        strain[0] =
            fits[j].at(place.depth) + shape.prestrain(static_cast<std::size_t>(place.lamination), place.station, place.depth);
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
        verdict.snapshot.faces.push_back(
            {station, place.lamination, face, strain[0], stress[0], stress[1], stress[2], near_end[j], shortening});
      const auto offer_here = [&](const ModeIndex &mode, const std::string &note)
      {
        HotSpot spot = spot_at(station, mode, near_end[j]);
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
        for (const auto &[mode, note] : indices_at(node, strain, stress, shortening))
          offer_here(mode, note);
    }
    verdict.snapshot.sections.push_back(section);
  }

  for (int line = 0; line + 1 < static_cast<int>(laminations.size()); ++line)
  {
    for (const LineTraction &traction : line_tractions(solid, line, u, averaging_length(line)))
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
      if (within_reach_of_load(traction.station))
        continue;
      const GluePatch *patch = patch_at(shape.description().glue[static_cast<std::size_t>(line)], traction.station);
      if (patch != nullptr && patch->open())
        continue; // what presses there is no glue
      const BondStrength strength = strength_of_line(line, traction.station);
      for (const ModeIndex &mode : glue_indices(strength, traction.mean_peel, traction.mean_shear))
      {
        HotSpot spot = spot_at(traction.station, mode, true);
        spot.glue_line = line;
        spot.back_lamination = state.back_lamination;
        spot.face = Face::inside;
        if ((mode.mode == FailureMode::glue_shear && strength.shear_by_lamination) ||
            (mode.mode == FailureMode::glue_peel && strength.peel_by_lamination))
          spot.note = "the wood or glass beside the glue is the weaker";
        if (patch != nullptr)
          spot.note = "the glue is weak there, as the case says";
        offer(spot);
      }
    }
  }

  verdict.snapshot.patch_ends = patch_ends(u);
  for (const PatchEnd &end : verdict.snapshot.patch_ends)
    // Glue that can part shows by itself whether it grows.
    if (end.toughness > 0. && !shape.description().glue[static_cast<std::size_t>(end.line)].cohesive)
    {
      HotSpot spot = spot_at(end.station, ModeIndex{FailureMode::patch_growth, end.index(), end.total(), end.toughness}, false);
      spot.glue_line = end.line;
      spot.back_lamination = back_of_line(end.line, end.station);
      spot.face = Face::inside;
      offer(spot);
    }

  for (const auto &[key, spot] : worst)
    verdict.worst.push_back(spot);
  std::sort(verdict.worst.begin(), verdict.worst.end(), [](const HotSpot &a, const HotSpot &b) { return a.index > b.index; });
  return verdict;
}
} // namespace limbwright
