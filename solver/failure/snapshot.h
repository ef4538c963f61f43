#pragma once

#include "solver/bow_description.h"
#include "solver/failure/indices.h"
#include "solver/failure/recovery.h"
#include "solver/results.h"

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
    std::vector<HotSpot> worst; //!< worst first
    NodalFieldsOf<dim> fields;
  };
  Verdict judge(LimbName limb, const Eigen::VectorXd &u);

  /// Length [m] over which tractions of a glue line are averaged: the stated one, or the thinner neighbour's thickness.
  double averaging_length(int line) const;
  /// Lamination on the back side of a glue line at a station: where laminations are absent it is not the next in the list.
  int back_of_line(int line, double station) const;
  /// Strength of a glue line at a place, its patch counted in; zero where it is open. across: share of half the width.
  BondStrength strength_of_line(int line, double station, double across = 0.) const;
  const Material &material(int lamination) const;

  struct NotedIndex
  {
    ModeIndex mode;
    std::string note; //!< why the wood is weak there; empty where it is clear
  };
  /// The indices of all that lies across the width at a node; not for places near an end.
  std::vector<NotedIndex> indices_at(int node, const NodalFieldsOf<dim> &fields) const;

private:
  const LayeredSolid<dim> &solid;
  const std::map<std::string, Material> &materials;
  const std::map<std::string, Adhesive> &adhesives;
  double stated_averaging_length;
  std::vector<Flaw> flaw_list;
  std::vector<std::map<int, double>> section_shares; // by column station: its nodes with their shares of the area
  std::vector<bool> near_end;                        // by column station
  std::vector<SectionFit> at_rest;                   // by column station: in the described shape
  Crushed crushed;                                   // at the state before
  std::vector<double> fibre_crushed;                 // by node: the same, near ends under the section fit

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
