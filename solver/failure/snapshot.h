#pragma once

#include "solver/bow_description.h"
#include "solver/failure/indices.h"
#include "solver/failure/limb_sections.h"
#include "solver/failure/recovery.h"
#include "solver/results.h"

#include <algorithm>
#include <functional>
#include <map>
#include <string>

namespace limbwright
{
/// Turns displacements of a limb into what is told about it: face, glue and section states, and the worst place of every
/// lamination and glue line in every mode. It is shown the states in the order in which the limb went through them, for yielded
/// wood remembers.
template <int dim>
class LimbJudgeOf
{
public:
  using Strain = typename LayeredSolid<dim>::Strain;

  LimbJudgeOf(const LayeredSolid<dim> &solid, const std::map<std::string, Material> &materials,
              const std::map<std::string, Adhesive> &adhesives, double averaging_length);

  struct Verdict
  {
    LimbSnapshot snapshot;
    std::vector<HotSpot> worst;                                     //!< worst first
    NodalFieldsOf<dim> fields;                                      //!< as recovered
    std::vector<typename LimbSections<dim>::Groups> section_forces; //!< by cut
    NodalFieldsOf<dim> judged; //!< the same, structural values in place of the recovered ones where those are judged
  };
  Verdict judge(LimbName limb, const Eigen::VectorXd &u);

  /// Length [m] over which tractions of a glue line are averaged: the stated one, or the thinner neighbour's thickness.
  double averaging_length(int line) const;
  /// Lamination on the back side of a glue line at a station: where laminations are absent it is not the next in the list.
  int back_of_line(int line, double station) const;
  /// Strength of a glue line at a place, its patch counted in; zero where it is open. across: share of half the width.
  BondStrength strength_of_line(int line, double station, double across = 0.) const;
  const Material &material(int lamination) const;
  const LimbSections<dim> &limb_sections() const { return sections; }
  /// The sections' fibres in the state judged last, by cut.
  const std::vector<FibreSectionState> &section_memory() const { return section_states; }

  struct NotedIndex
  {
    ModeIndex mode;
    std::string note; //!< why the wood is weak there; empty where it is clear
  };
  /// The indices of all that lies across the width at a node; of structural values those of clear wood.
  std::vector<NotedIndex> indices_at(int node, const NodalFieldsOf<dim> &fields) const;

private:
  // How much the structural values count at a column station [1], beside the recovered ones: all within one local stack thickness
  // of a clamp, the nock, the tip, the end of a lamination, of an open patch or of glue that has parted, nothing from two on, and
  // smoothly less between, so that no index depends on the column in which the one ends and the other begins. As near to a corner
  // of the described shape, and where a face turns as it does in the hollow of a fade, the same, but only where the wood is
  // clear.
  struct StructuralWeight
  {
    double near_end = 0., near_corner = 0.;
    double of_section() const { return std::max(near_end, near_corner); }
  };

  const LayeredSolid<dim> &solid;
  const std::map<std::string, Material> &materials;
  const std::map<std::string, Adhesive> &adhesives;
  double stated_averaging_length;
  std::vector<Flaw> flaw_list;
  std::vector<std::map<int, double>> section_shares; // by column station: its nodes with their shares of the area
  std::vector<std::vector<int>> nodes_at;            // by column station: all nodes there
  std::vector<StructuralWeight> fixed_weights;       // by column station, of the limb as described
  std::vector<StructuralWeight> weights;             // ... and of the state judged: near where glue has parted up to
  std::vector<SectionFit> at_rest;                   // by column station: in the described shape
  LimbSections<dim> sections;
  std::vector<FibreSectionState> sections_at_rest; // by cut: in the described shape
  std::vector<FibreSectionState> section_states;   // by cut: at the state before
  Crushed crushed;                                 // at the state before

  // Adds a place in some mode to the worst places.
  using Offer = std::function<void(const HotSpot &)>;
  void judge_layers(Verdict &verdict, const Eigen::VectorXd &u, const Offer &offer);
  void judge_glue(Verdict &verdict, const Eigen::VectorXd &u, const Offer &offer) const;
  void judge_edges(Verdict &verdict, const Eigen::VectorXd &u, const Offer &offer) const;
  void judge_wraps(const Verdict &verdict, const Eigen::VectorXd &u, const Offer &offer) const;
  // Weighs structural values against recovered ones; section_states are those of the state judged.
  NodalFieldsOf<dim> judged_fields(const NodalFieldsOf<dim> &recovered,
                                   const std::vector<typename LimbSections<dim>::Groups> &forces) const;
  double structural_weight(int node, std::size_t station) const;
  std::vector<StructuralWeight> weights_of(const std::vector<typename LimbSections<dim>::Groups> &forces) const;
  bool within_reach_of_load(double station) const;
  // What of a glue line's strength is left at a place [1]; the patch that is there.
  std::pair<double, const GluePatch *> holding_at(int line, double station, double across) const;
  const Adhesive &adhesive_of_line(int line) const;
  // energy_release() and free_edges() with what the glue there takes.
  std::vector<PatchEnd> patch_ends(const Eigen::VectorXd &u) const;
  std::vector<PatchEnd> glue_free_edges(const Eigen::VectorXd &u) const;
  int back_of_edge(const PatchEnd &edge) const;
  void set_toughness(PatchEnd &end, const CohesiveBond &bond) const;
  void set_sideways(SectionState &section, const std::map<int, double> &shares, const Eigen::VectorXd &u) const;
};
using LimbJudge = LimbJudgeOf<2>; //!< of the side view
} // namespace limbwright
