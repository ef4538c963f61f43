#include "cases/reader/bow_keys.h"

namespace limbwright
{
const Section<MeshSettings> &mesh_section()
{
  static const Section<MeshSettings> section{
      "mesh",
      "The mesh: how finely the limb is divided.",
      {
          {quantity_key("column_length", Dimension::length, "0.02 in", "6 in",
                        "element length along the limb away from ends; auto is the limb's length over 120", {"auto"})
               .by_default("\"auto\""),
           [](MeshSettings &into, const Value &value) { into.column_length = value.text.empty() ? value.number : 0.; }},
          {whole_key("rows_per_lamination", "0", "16", "elements through each lamination; 0 chooses by its thickness")
               .by_default("0"),
           [](MeshSettings &into, const Value &value) { into.rows_per_lamination = value.whole; }},
          {quantity_key("row_height", Dimension::length, "0.1 mm", "50 mm",
                        "target element height where rows_per_lamination is 0")
               .by_default("\"1.6 mm\""),
           [](MeshSettings &into, const Value &value) { into.row_height = value.number; }},
          {quantity_key("end_refinement", Dimension::ratio, "0", "4",
                        "element length at a layer end over the thickness of the thinnest neighbor; 0 leaves ends unrefined")
               .by_default("0.125"),
           [](MeshSettings &into, const Value &value) { into.end_refinement = value.number; }},
          {quantity_key("growth", Dimension::ratio, "1.05", "4", "largest ratio of neighboring element lengths")
               .by_default("1.5"),
           [](MeshSettings &into, const Value &value) { into.growth = value.number; }},
          {whole_key("strips", "1", "32", "in three dimensions: elements across half the width").by_default("2"),
           [](MeshSettings &into, const Value &value) { into.strips = value.whole; }},
          {quantity_key("edge_refinement", Dimension::ratio, "0", "4",
                        "in three dimensions: element width at the edges over the thickness of the thinnest glued lamination, "
                        "growing inward; 0 leaves edges unrefined. From 1 down, the energy of the glue at the limb's sides is "
                        "computed; 0.5 is fine enough")
               .by_default("0"),
           [](MeshSettings &into, const Value &value) { into.edge_refinement = value.number; }},
          {choice_key(
               "width", {"half", "whole"},
               "in three dimensions: one half with its mirror image, or the whole width, which can also twist and drift sideways")
               .by_default("\"half\""),
           [](MeshSettings &into, const Value &value) { into.half_width = value.text == "half"; }},
      }};
  return section;
}

const Section<SolveSettings> &solve_section()
{
  static const Section<SolveSettings> section{
      "solve",
      "How the bow is strung and drawn.",
      {
          {whole_key("dimension", "2", "3",
                     "2: side view, with the limb's width at every depth; 3: solid, takes about thirty times as long")
               .by_default("2"),
           [](SolveSettings &into, const Value &value) { into.dimension = value.whole; }},
          {choice_key("plane", {"stress", "strain"}, "side view: no stress, or no strain, across the width")
               .by_default("\"stress\""),
           [](SolveSettings &into, const Value &value)
           { into.plane = value.text == "strain" ? PlaneState::strain : PlaneState::stress; }},
          {whole_key("brace_steps", "1", "1000", "least number of steps to brace height").by_default("1"),
           [](SolveSettings &into, const Value &value) { into.brace_steps = value.whole; }},
          {whole_key("draw_steps", "1", "1000", "least number of steps from brace to full draw; a step that fails is cut")
               .by_default("4"),
           [](SolveSettings &into, const Value &value) { into.draw_steps = value.whole; }},
          {whole_key("max_iterations", "1", "1000", "iterations per step before it is cut").by_default("25"),
           [](SolveSettings &into, const Value &value) { into.max_iterations = value.whole; }},
          {quantity_key("tolerance", Dimension::ratio, "1e-13", "1e-3",
                        "residual force over internal force at which a step counts as converged")
               .by_default("1e-8"),
           [](SolveSettings &into, const Value &value) { into.tolerance = value.number; }},
          {choice_key("wood", {"yields", "elastic"},
                      "yields: wood and bamboo crush along the grain; elastic: they do not, which leaves out set")
               .by_default("\"yields\""),
           [](SolveSettings &into, const Value &value) { into.wood_yields = value.text == "yields"; }},
          {whole_key("cycles", "0", "100", "number of full draws, each let down again; 0 leaves the bow drawn").by_default("2"),
           [](SolveSettings &into, const Value &value) { into.cycles = value.whole; }},
          {choice_key("sideways_stability", {"no", "yes"},
                      "in three dimensions: how stiff the tips are sideways, and how close the limbs are to twisting out of "
                      "plane; needs the whole width and doubles the time")
               .by_default("\"no\""),
           [](SolveSettings &into, const Value &value) { into.sideways = value.text == "yes"; }},
          {choice_key("sound_beside", {"auto", "yes", "no"},
                      "also run without flaws (weak zones, glue patches), to show what they cost; doubles the time; auto: yes "
                      "for a side view, no for a solid")
               .by_default("\"auto\""),
           [](SolveSettings &into, const Value &value)
           {
             into.sound_beside = value.text == "yes"  ? SoundBeside::always
                                 : value.text == "no" ? SoundBeside::never
                                                      : SoundBeside::side_view;
           }},
          {quantity_key("averaging_length", Dimension::length, "0.001 in", "4 in",
                        "length over which glue stresses near ends are averaged; auto: the thickness of the thinner neighbor",
                        {"auto"})
               .by_default("\"auto\""),
           [](SolveSettings &into, const Value &value) { into.averaging_length = value.text.empty() ? value.number : 0.; }},
      }};
  return section;
}

const Section<Conditions> &conditions_section()
{
  static const auto number_or_none = [](const Value &value)
  { return value.text.empty() ? std::optional<double>(value.number) : std::nullopt; };
  static const Section<Conditions> section{
      "conditions",
      "Conditions of use. The wood numbers come from standard tests of small clear pieces; these conditions change them: "
      "stiffness by moisture and temperature, strength by all. Only woods change, and the answer lists it. \"none\" leaves a "
      "condition as in the tests. State material properties as tested.",
      {
          {quantity_key("moisture", Dimension::ratio, "3 %", "40 %",
                        "moisture content, water over dry mass (tests: 12 %); changes values stated for 12 % moisture", {"none"})
               .by_default("\"9 %\""),
           [](Conditions &into, const Value &value) { into.moisture = number_or_none(value); }},
          {quantity_key("temperature", Dimension::temperature, "-50 degC", "50 degC", "temperature of the wood (tests: 20 degC)",
                        {"none"})
               .by_default("\"none\""),
           [](Conditions &into, const Value &value) { into.temperature = number_or_none(value); }},
          {quantity_key("full_draw_held", Dimension::time, "0.1 s", "24 h",
                        "time held at full draw (tests: about 5 minutes to failure)", {"none"})
               .by_default("\"2 s\""),
           [](Conditions &into, const Value &value) { into.seconds = number_or_none(value); }},
          {quantity_key("quality", Dimension::ratio, "0.1 %", "99.9 %",
                        "strength of the clear, straight-grained wood: the mean of the species, or the percentage of pieces "
                        "weaker than this one (\"5 %\": one in twenty is weaker)",
                        {"mean", "none"})
               .by_default("\"mean\""),
           [](Conditions &into, const Value &value) { into.quality = number_or_none(value); }},
          {choice_key("size_effect", {"on", "none"},
                      "on: the back's strength goes down as the working limb gets thicker and longer")
               .by_default("\"on\""),
           [](Conditions &into, const Value &value) { into.size = value.text == "on"; }},
      }};
  return section;
}

const Section<ExpectInput> &expect_section()
{
  static const Section<ExpectInput> section{
      "expect[]",
      "A result expected of this bow; a run compares it.",
      {
          {plain_key("quantity", ValueKind::name, "name of a figure in summary.json, which ends with its SI unit: draw_weight_N")
               .needed(),
           [](ExpectInput &into, const Value &value) { into.quantity = value.text; }},
          {plain_key("value", ValueKind::name, "its value with a unit, for example \"43.1 lbf\"").needed(),
           [](ExpectInput &into, const Value &value) { into.value = value.text; }},
          {plain_key("tolerance", ValueKind::name, "how far off it may be: with a unit, or in % of the value").needed(),
           [](ExpectInput &into, const Value &value) { into.tolerance = value.text; }},
      }};
  return section;
}
} // namespace limbwright
