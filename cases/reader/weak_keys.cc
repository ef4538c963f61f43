#include "cases/reader/weak_reader.h"

namespace limbwright
{
namespace
{
// Limits are there to catch slips of the pen, as those of bow_keys.cc.
Key limb_key_of_two()
{
  return choice_key("limb", {"both", "upper", "lower"}, "which limb has it, in a bow of unlike limbs").by_default("\"both\"");
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
      "A knot in one lamination. In a bow of like limbs both limbs have it. The side view spreads it over the width: a knot "
      "weakens the cross section by the fraction of the width it takes. The wood next to it is judged strip by strip.",
      {
          {lamination_key(), [](KnotInput &into, const Value &value) { into.lamination = value.text; }},
          {quantity_key("station", Dimension::length, "0 in", "60 in", "distance of its middle from center").needed(),
           [](KnotInput &into, const Value &value) { into.knot.station = value.number; }},
          {quantity_key("diameter", Dimension::length, "0.02 in", "4 in", "across the grain; for a spike, at the edge").needed(),
           [](KnotInput &into, const Value &value) { into.knot.diameter = value.number; }},
          {choice_key("state", {"sound", "loose", "hole", "filled"},
                      "sound: grown in, carries load like wood across its grain; loose or hole: carries nothing; filled: a hole "
                      "that was filled")
               .needed(),
           [](KnotInput &into, const Value &value)
           {
             into.knot.state = value.text == "sound"    ? KnotState::sound
                               : value.text == "loose"  ? KnotState::loose
                               : value.text == "filled" ? KnotState::filled
                                                        : KnotState::hole;
           }},
          {choice_key("direction", {"through", "across", "spike"},
                      "the branch ran through the lamination's thickness; across the width; or in from an edge, to a point")
               .by_default("\"through\""),
           [](KnotInput &into, const Value &value)
           {
             into.knot.direction = value.text == "across"  ? KnotDirection::across
                                   : value.text == "spike" ? KnotDirection::spike
                                                           : KnotDirection::through;
           }},
          {quantity_key("off_centre", Dimension::length, "-4 in", "4 in",
                        "its middle off center, + to the archer's right in both limbs; for a spike, where its point is: it "
                        "widens toward the farther edge")
               .by_default("\"0 in\""),
           [](KnotInput &into, const Value &value) { into.knot.off_centre = value.number; }},
          {quantity_key("depth", Dimension::length, "0 in", "4 in",
                        "depth of its middle below the lamination's back face, for a knot that lies across; default: the middle "
                        "of the lamination"),
           [](KnotInput &into, const Value &value)
           {
             into.knot.depth = value.number;
             into.has_depth = true;
           }},
          {quantity_key("length", Dimension::length, "0.02 in", "8 in",
                        "its length, for a knot that lies across; default: the whole width"),
           [](KnotInput &into, const Value &value) { into.knot.length = value.number; }},
          {quantity_key("stretch", Dimension::ratio, "0.2", "10", "its size along the grain over its diameter").by_default("1"),
           [](KnotInput &into, const Value &value) { into.knot.stretch = value.number; }},
          {choice_key("grain", {"flows", "straight"},
                      "the grain flows around it like water around a post, or runs straight up to it, as at a bored hole")
               .by_default("\"flows\""),
           [](KnotInput &into, const Value &value) { into.knot.grain_flows = value.text == "flows"; }},
          {quantity_key(
               "dive", Dimension::angle, "-60 deg", "60 deg",
               "for a knot that runs through: how steeply the grain rises toward the back just before it and falls after it"),
           [](KnotInput &into, const Value &value) { into.knot.dive = value.number; }},
          {quantity_key("filling_modulus", Dimension::stress, "1 MPa", "100 GPa", "stiffness of what fills it"),
           [](KnotInput &into, const Value &value) { into.knot.filling_modulus = value.number; }},
          {quantity_key("filling_strength", Dimension::stress, "0.1 MPa", "1 GPa",
                        "tensile strength of what fills it; if not given, the filling is not judged"),
           [](KnotInput &into, const Value &value) { into.knot.filling_strength = value.number; }},
          {limb_key_of_two(), [](KnotInput &into, const Value &value) { into.limb = value.text; }},
      }};
  return section;
}

const Section<GrainRegionInput> &weak_run_out_section()
{
  static const Section<GrainRegionInput> section{
      "weak.run_out[]",
      "A stretch of one lamination with sloping grain or violated rings. In a bow of like limbs both limbs have it.",
      {
          {lamination_key(), [](GrainRegionInput &into, const Value &value) { into.lamination = value.text; }},
          {quantity_key("from", Dimension::length, "0 in", "60 in", "where it begins, from center").needed(),
           [](GrainRegionInput &into, const Value &value) { into.region.from = value.number; }},
          {quantity_key("to", Dimension::length, "0 in", "60 in", "where it ends, from center").needed(),
           [](GrainRegionInput &into, const Value &value) { into.region.to = value.number; }},
          {quantity_key("slope", Dimension::angle, "-45 deg", "45 deg",
                        "slope of the grain there, on top of the lamination's run_out, + when it runs toward the back on its way "
                        "to the tip; a slope (\"1 in 12\") or an angle")
               .needed(),
           [](GrainRegionInput &into, const Value &value) { into.region.slope = value.number; }},
          {limb_key_of_two(), [](GrainRegionInput &into, const Value &value) { into.limb = value.text; }},
      }};
  return section;
}
} // namespace limbwright
