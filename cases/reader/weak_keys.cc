#include "cases/reader/weak_reader.h"

namespace limbwright
{
namespace
{
// Limits are there to catch slips of the pen, as those of bow_keys.cc.
Key limb_key_of_two()
{
  return choice_key("limb", {"both", "upper", "lower"}, "of a bow of unlike limbs: which limb has it").by_default("\"both\"");
}

Key lamination_key()
{
  return plain_key("lamination", ValueKind::name, "name of the lamination it is in").needed();
}
} // namespace

const Section<KnotInput> &weak_knot_section()
{
  static const Section<KnotInput> section{
      "weak.knot[]",
      "A knot in one lamination. In a symmetric bow both limbs have it. The side view spreads it over the width: a knot narrower "
      "than the limb weakens the section by its share of the width, and what it does to the wood beside it is judged strip by "
      "strip.",
      {
          {lamination_key(), [](KnotInput &into, const Value &value) { into.lamination = value.text; }},
          {quantity_key("station", Dimension::length, "0 in", "60 in",
                        "of its middle, along the back from the middle of the "
                        "handle")
               .needed(),
           [](KnotInput &into, const Value &value) { into.knot.station = value.number; }},
          {quantity_key("diameter", Dimension::length, "0.02 in", "4 in", "square to the grain; of a spike at the edge").needed(),
           [](KnotInput &into, const Value &value) { into.knot.diameter = value.number; }},
          {choice_key(
               "state", {"sound", "loose", "hole", "filled"},
               "grown in, so that it bears as wood does across its grain; loose or fallen out, so that it bears nothing; or "
               "a hole that was filled")
               .needed(),
           [](KnotInput &into, const Value &value)
           {
             into.knot.state = value.text == "sound"    ? KnotState::sound
                               : value.text == "loose"  ? KnotState::loose
                               : value.text == "filled" ? KnotState::filled
                                                        : KnotState::hole;
           }},
          {choice_key("direction", {"through", "across", "spike"},
                      "the branch ran through the lamination's thickness; across the width; or from an edge inward to a point")
               .by_default("\"through\""),
           [](KnotInput &into, const Value &value)
           {
             into.knot.direction = value.text == "across"  ? KnotDirection::across
                                   : value.text == "spike" ? KnotDirection::spike
                                                           : KnotDirection::through;
           }},
          {quantity_key("off_centre", Dimension::length, "-4 in", "4 in",
                        "of its middle from the middle of the width, positive to the archer's right in both limbs; of a spike: "
                        "where it comes to a point, it grows toward the farther edge")
               .by_default("\"0 in\""),
           [](KnotInput &into, const Value &value) { into.knot.off_centre = value.number; }},
          {quantity_key(
               "depth", Dimension::length, "0 in", "4 in",
               "of the middle of one that lies across, below its lamination's back face; when not given, in the middle of "
               "the lamination"),
           [](KnotInput &into, const Value &value)
           {
             into.knot.depth = value.number;
             into.has_depth = true;
           }},
          {quantity_key("length", Dimension::length, "0.02 in", "8 in",
                        "of one that lies across, along itself; when not given, over the whole width"),
           [](KnotInput &into, const Value &value) { into.knot.length = value.number; }},
          {quantity_key("stretch", Dimension::ratio, "0.2", "10", "its size along the grain over its diameter").by_default("1"),
           [](KnotInput &into, const Value &value) { into.knot.stretch = value.number; }},
          {choice_key("grain", {"flows", "straight"},
                      "the grain flows around it as a stream around a post; or runs straight up to it, as to a bored hole")
               .by_default("\"flows\""),
           [](KnotInput &into, const Value &value) { into.knot.grain_flows = value.text == "flows"; }},
          {quantity_key(
               "dive", Dimension::angle, "-60 deg", "60 deg",
               "of one that runs through: how steeply the grain rises toward the back just before it, and falls after it"),
           [](KnotInput &into, const Value &value) { into.knot.dive = value.number; }},
          {quantity_key("filling_modulus", Dimension::stress, "1 MPa", "100 GPa", "stiffness of what fills it"),
           [](KnotInput &into, const Value &value) { into.knot.filling_modulus = value.number; }},
          {quantity_key("filling_strength", Dimension::stress, "0.1 MPa", "1 GPa",
                        "in tension, of what fills it; when not given, it is not judged"),
           [](KnotInput &into, const Value &value) { into.knot.filling_strength = value.number; }},
          {limb_key_of_two(), [](KnotInput &into, const Value &value) { into.limb = value.text; }},
      }};
  return section;
}

const Section<GrainRegionInput> &weak_run_out_section()
{
  static const Section<GrainRegionInput> section{
      "weak.run_out[]",
      "A stretch of one lamination whose grain slopes, or whose rings were cut through. In a symmetric bow both limbs have it.",
      {
          {lamination_key(), [](GrainRegionInput &into, const Value &value) { into.lamination = value.text; }},
          {quantity_key("from", Dimension::length, "0 in", "60 in", "station of its end toward the handle").needed(),
           [](GrainRegionInput &into, const Value &value) { into.region.from = value.number; }},
          {quantity_key("to", Dimension::length, "0 in", "60 in", "station of its end toward the tip").needed(),
           [](GrainRegionInput &into, const Value &value) { into.region.to = value.number; }},
          {quantity_key(
               "slope", Dimension::angle, "-45 deg", "45 deg",
               "of the grain there, on top of the lamination's run_out, positive when it runs toward the back on its way "
               "to the tip; a slope (\"1 in 12\") or an angle")
               .needed(),
           [](GrainRegionInput &into, const Value &value) { into.region.slope = value.number; }},
          {limb_key_of_two(), [](GrainRegionInput &into, const Value &value) { into.limb = value.text; }},
      }};
  return section;
}
} // namespace limbwright
