#include "solver/failure/snapshot.h"

#include "meshing/mesh/limb_mesh.h"
#include "solver/failure/glue_traction.h"
#include "solver/failure/sideways_motion.h"
#include "solver/model/glue_bond.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <set>
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

double distance_to_corner(const LimbShape &shape, double station)
{
  double distance = std::numeric_limits<double>::infinity();
  for (const double corner : shape.corners())
    distance = std::min(distance, std::abs(station - corner));
  return distance;
}

// Turn of the belly's or the back's face along a stack's thickness [rad]: in the hollow of a fade the strain of wood that yields
// localizes as at a corner.
double turn_of_faces(const LimbShape &shape, double station)
{
  const LimbDescription &limb = shape.description();
  const double stack = shape.stack(station), aside = 0.25 * stack;
  const double s = std::clamp(station, limb.root_station + aside, limb.tip_station - aside);
  const auto turn = [&](double (LimbShape::*depth)(double) const)
  { return std::abs((shape.*depth)(s + aside) - 2. * (shape.*depth)(s) + (shape.*depth)(s - aside)) / (aside * aside) * stack; };
  return std::max(turn(&LimbShape::outer_belly_depth), turn(&LimbShape::outer_back_depth));
}
constexpr double corner_turn = 0.1; // [rad] from which on such a hollow counts as a corner; half of it counts nothing. Ours

// All up to a reach, nothing from two on, a smooth step between.
double weight_at(double distance, double reach)
{
  const double t = std::clamp(distance / reach - 1., 0., 1.);
  return 1. - t * t * (3. - 2. * t);
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
      flaw_list(flaws(limb_solid.shape())),
      sections(limb_solid, material_table)
{
  for (const double station : solid.column_stations())
  {
    section_shares.push_back(solid.section_shares(station));
    const double reach = solid.shape().stack(station);
    const double turn = turn_of_faces(solid.shape(), station);
    fixed_weights.push_back(
        {weight_at(solid.mesh().distance_to_end(station), reach),
         std::max(weight_at(distance_to_corner(solid.shape(), station), reach), weight_at(corner_turn / turn, 1.))});
  }
  std::vector<std::set<int>> at(fixed_weights.size());
  for (const auto &cut : sections.cuts())
    at[cut.station].insert(cut.nodes.begin(), cut.nodes.end());
  for (const std::set<int> &nodes : at)
    nodes_at.emplace_back(nodes.begin(), nodes.end());
  const Eigen::VectorXd none = Eigen::VectorXd::Zero(dim * static_cast<Eigen::Index>(solid.nodes().size()));
  at_rest = fit_sections(solid, recover_nodal_fields(solid, none));
  auto unloaded = sections.forces(none);
  for (auto &groups : unloaded)
    for (auto &group : groups)
      group.forces = {};
  sections_at_rest = sections.solve(unloaded, {});
}

template <int dim>
std::vector<typename LimbJudgeOf<dim>::StructuralWeight>
LimbJudgeOf<dim>::weights_of(const std::vector<typename LimbSections<dim>::Groups> &forces) const
{
  std::vector<StructuralWeight> result = fixed_weights;
  const auto &cuts = sections.cuts();
  const auto &stations = solid.column_stations();
  const auto add_end = [&](std::size_t station)
  {
    const double end = stations[station], reach = solid.shape().stack(end);
    for (std::size_t j = 0; j < stations.size(); ++j)
      result[j].near_end = std::max(result[j].near_end, weight_at(std::abs(stations[j] - end), reach));
  };
  // Where all laminations go on from one column to the next, but not what they hang together with.
  for (std::size_t c = 0; c + 1 < cuts.size(); ++c)
    if (cuts[c].tip_end && cuts[c + 1].column == cuts[c].column + 1 &&
        !std::equal(forces[c].begin(), forces[c].end(), forces[c + 1].begin(), forces[c + 1].end(),
                    [](const auto &a, const auto &b) { return a.first == b.first && a.last == b.last; }))
      add_end(cuts[c].station);
  // Where glue is about to let go.
  for (const auto &element : solid.glue())
    for (int k = 0; element.can_part && k < LayeredSolid<dim>::n_nodes_per_face; ++k)
      if (const double spent = solid.glue_state(element, k).fraction; spent > 1e-6 && spent < 1. - 1e-6)
      {
        add_end(static_cast<std::size_t>(element.column));
        break;
      }
  return result;
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

  static const std::string slants = "slanting grain there, as the bow file says";
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
  const bool structural = !fields.structural.empty() && fields.structural[static_cast<std::size_t>(node)];
  const auto *weak = structural ? nullptr : solid.weak_parts_at(node);
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
  verdict.fields = recover_nodal_fields(solid, u, crushed);
  crushed = verdict.fields.crushed;
  WorstPlaces worst;
  std::vector<WorstPlaces> near(flaw_list.size());
  const Offer offer = [&](const HotSpot &spot)
  {
    offer_place(worst, spot);
    for (std::size_t i = 0; i < flaw_list.size(); ++i)
      if (counts_for(flaw_list, i, spot.station))
        offer_place(near[i], spot);
  };
  judge_layers(verdict, u, offer);
  judge_glue(verdict, u, offer);
  judge_edges(verdict, u, offer);
  judge_wraps(verdict, u, offer);
  verdict.worst = by_index(worst);
  for (std::size_t i = 0; i < flaw_list.size(); ++i)
    verdict.snapshot.flaws.push_back({flaw_list[i], by_index(near[i])});
  return verdict;
}

template class LimbJudgeOf<2>;
template class LimbJudgeOf<3>;
} // namespace limbwright
