// The keys of splits and wraps.
#include "cases/reader/cut_reader.h"

namespace limbwright
{
namespace
{
// Limits are there to catch slips of the pen, as those of bow_keys.cc.
template <class T>
Field<T> limb_of_two()
{
  return {choice_key("limb", {"both", "upper", "lower"}, "which limb has it, in a bow of unlike limbs").by_default("\"both\""),
          [](T &into, const Value &value) { into.limb = value.text; }};
}
} // namespace

const Section<SplitInput> &weak_split_section()
{
  static const Section<SplitInput> section{
      "weak.split[]",
      "A crack along the grain inside one lamination: a split, a ring shake or a drying check. Or the crack under a splinter, "
      "which comes out at a face of the limb. It lies level across the width, or slants. An upright crack, through the "
      "thickness, costs nothing in bending and has no entry. In a bow of like limbs both limbs have it.",
      {
          {plain_key("lamination", ValueKind::name, "name of the lamination it is in").needed(),
           [](SplitInput &into, const Value &value) { into.lamination = value.text; }},
          {quantity_key("from", Dimension::length, "0 in", "60 in", "where it begins, from center").needed(),
           [](SplitInput &into, const Value &value) { into.split.patch.from = value.number; }},
          {quantity_key("to", Dimension::length, "0 in", "60 in", "where it ends, from center").needed(),
           [](SplitInput &into, const Value &value) { into.split.patch.to = value.number; }},
          {quantity_key(
               "depth", Dimension::length, "0.005 in", "4 in",
               "depth below the lamination's back face, in the middle of its length; for one that comes out, where it begins")
               .needed(),
           [](SplitInput &into, const Value &value) { into.split.depth = value.number; }},
          {quantity_key("slope", Dimension::angle, "-45 deg", "45 deg",
                        "for one that stays inside, default none; + when it runs toward the back on its way to the tip; a slope "
                        "(\"1 in 12\") or an angle"),
           [](SplitInput &into, const Value &value) { into.split.slope = value.number; }},
          {quantity_key("slant", Dimension::angle, "-45 deg", "45 deg",
                        "for one that stays inside, default none: slant across the width, + when it is nearer the back on the "
                        "archer's right. In three dimensions the whole width is then meshed; the side view takes it without "
                        "slant, at its depth in the middle of the width"),
           [](SplitInput &into, const Value &value) { into.split.slant = value.number; }},
          {choice_key("comes_out", {"no", "back", "belly"},
                      "no: it stays inside; or it runs out at the limb's back or belly, so that a splinter can lift there")
               .by_default("\"no\""),
           [](SplitInput &into, const Value &value) {
             into.split.comes_out = value.text == "back"    ? SplitExit::back
                                    : value.text == "belly" ? SplitExit::belly
                                                            : SplitExit::none;
           }},
          {choice_key("toward", {"tip", "handle"},
                      "for one that comes out: at which end, default tip; the splinter points that way"),
           [](SplitInput &into, const Value &value) { into.split.toward_tip = value.text == "tip"; }},
          {quantity_key("strength", Dimension::ratio, "0", "1",
                        "fraction of the wood's strength it has left, across the grain and in shear; or of what fills it. 0 is "
                        "open: the faces only press on each other; 1 is as good as whole")
               .by_default("0"),
           [](SplitInput &into, const Value &value) { into.split.patch.strength = value.number; }},
          {plain_key("filling", ValueKind::name,
                     "adhesive run into it, from this file or the library: its stiffness over the gap, and the weaker of it and "
                     "the wood, times strength"),
           [](SplitInput &into, const Value &value) { into.split.patch.filling = value.text; }},
          {quantity_key("width_share", Dimension::ratio, "0.01", "1",
                        "fraction of the width it covers; the side view spreads it: the whole width holds that much less")
               .by_default("1"),
           [](SplitInput &into, const Value &value) { into.split.patch.width_share = value.number; }},
          {quantity_key("across", Dimension::length, "-4 in", "4 in",
                        "for a split over part of the width: its middle off center, + to the archer's right in both limbs; in "
                        "three dimensions, where the whole width is then meshed")
               .by_default("\"0 in\""),
           [](SplitInput &into, const Value &value) { into.split.patch.across = value.number; }},
          {quantity_key("gap", Dimension::length, "0 in", "0.1 in",
                        "for an open or filled split: the gap between its faces in the middle of its length")
               .by_default("\"0.005 in\""),
           [](SplitInput &into, const Value &value) { into.split.patch.gap = value.number; }},
          limb_of_two<SplitInput>(),
      }};
  return section;
}

const Section<WrapInput> &weak_wrap_section()
{
  static const Section<WrapInput> section{
      "weak.wrap[]",
      "A wrap of thread or cloth around the limb, to hold down a splinter, a split or the end of a layer. It can only pull, and "
      "it presses on both faces. In a bow of like limbs both limbs have it. Cloth on one face only is a lamination with start "
      "and end.",
      {
          {quantity_key("from", Dimension::length, "0 in", "60 in", "where it begins, from center").needed(),
           [](WrapInput &into, const Value &value) { into.wrap.from = value.number; }},
          {quantity_key("to", Dimension::length, "0 in", "60 in", "where it ends, from center").needed(),
           [](WrapInput &into, const Value &value) { into.wrap.to = value.number; }},
          {plain_key(
               "material", ValueKind::name,
               "what it is made of, from this file or the library; its stiffness and strength along the grain are the thread's")
               .needed(),
           [](WrapInput &into, const Value &value) { into.material = value.text; }},
          {quantity_key("thickness", Dimension::length, "0.001 in", "0.1 in",
                        "thickness of the thread alone, all turns and layers spread evenly over the wrapped length")
               .needed(),
           [](WrapInput &into, const Value &value) { into.wrap.thickness = value.number; }},
          {quantity_key("tension", Dimension::force_per_length, "0 N/m", "1000 lbf/in",
                        "tension left in it: that of one thread times the turns per inch")
               .by_default("\"0 lbf/in\""),
           [](WrapInput &into, const Value &value) { into.wrap.tension = value.number; }},
          limb_of_two<WrapInput>(),
      }};
  return section;
}
} // namespace limbwright
