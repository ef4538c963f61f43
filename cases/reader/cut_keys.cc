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
  return {choice_key("limb", {"both", "upper", "lower"}, "of a bow of unlike limbs: which limb has it").by_default("\"both\""),
          [](T &into, const Value &value) { into.limb = value.text; }};
}
} // namespace

const Section<SplitInput> &weak_split_section()
{
  static const Section<SplitInput> section{
      "weak.split[]",
      "A crack along the grain inside one lamination: a split, a ring shake, a drying check; or under a splinter, where it comes "
      "out at a face of the limb. It lies square to the side view, or slants across the width: one that stands upright, in a "
      "plane along the limb and through its thickness, takes nothing from bending and is not told here. In a symmetric bow both "
      "limbs have it.",
      {
          {plain_key("lamination", ValueKind::name, "name of the lamination it is in").needed(),
           [](SplitInput &into, const Value &value) { into.lamination = value.text; }},
          {quantity_key("from", Dimension::length, "0 in", "60 in", "station of its end toward the handle").needed(),
           [](SplitInput &into, const Value &value) { into.split.patch.from = value.number; }},
          {quantity_key("to", Dimension::length, "0 in", "60 in", "station of its end toward the tip").needed(),
           [](SplitInput &into, const Value &value) { into.split.patch.to = value.number; }},
          {quantity_key("depth", Dimension::length, "0.005 in", "4 in",
                        "below the lamination's back face: in the middle of its length, of one that comes out where it begins")
               .needed(),
           [](SplitInput &into, const Value &value) { into.split.depth = value.number; }},
          {quantity_key("slope", Dimension::angle, "-45 deg", "45 deg",
                        "of one that stays inside, none when not given; positive when it runs toward the back on its way to the "
                        "tip; a slope (\"1 in "
                        "12\") or an angle"),
           [](SplitInput &into, const Value &value) { into.split.slope = value.number; }},
          {quantity_key(
               "slant", Dimension::angle, "-45 deg", "45 deg",
               "of one that stays inside, none when not given: how its plane is turned about the limb's line, positive "
               "when it lies nearer the back on the archer's right, where `across` is positive; in three "
               "dimensions it slants so, and the whole width is meshed; the side view has it square, at its depth in the "
               "middle of the width"),
           [](SplitInput &into, const Value &value) { into.split.slant = value.number; }},
          {choice_key("comes_out", {"no", "back", "belly"},
                      "it stays inside; or it runs out at the limb's back or belly, so that a splinter can lift there")
               .by_default("\"no\""),
           [](SplitInput &into, const Value &value) {
             into.split.comes_out = value.text == "back"    ? SplitExit::back
                                    : value.text == "belly" ? SplitExit::belly
                                                            : SplitExit::none;
           }},
          {choice_key("toward", {"tip", "handle"},
                      "of one that comes out: at which of its ends, the tip's when not given; the splinter points there"),
           [](SplitInput &into, const Value &value) { into.split.toward_tip = value.text == "tip"; }},
          {quantity_key("strength", Dimension::ratio, "0", "1",
                        "share of the wood's own strength across the grain and in shear that it has, or of what fills it; 0 is "
                        "open, its faces only press on each other; 1 is as good as whole")
               .by_default("0"),
           [](SplitInput &into, const Value &value) { into.split.patch.strength = value.number; }},
          {plain_key("filling", ValueKind::name,
                     "adhesive that was run in, from the library or the case's own: its stiffness over the gap, and the weaker "
                     "of it and the wood, times strength"),
           [](SplitInput &into, const Value &value) { into.split.patch.filling = value.text; }},
          {quantity_key("width_share", Dimension::ratio, "0.01", "1",
                        "share of the width that is so; the side view spreads it: the whole width holds that much less")
               .by_default("1"),
           [](SplitInput &into, const Value &value) { into.split.patch.width_share = value.number; }},
          {quantity_key("across", Dimension::length, "-4 in", "4 in",
                        "of one over part of the width: how far its middle lies from the middle of the limb, positive to the "
                        "archer's right in both limbs; in three dimensions it is there, and the whole width is meshed")
               .by_default("\"0 in\""),
           [](SplitInput &into, const Value &value) { into.split.patch.across = value.number; }},
          {quantity_key("gap", Dimension::length, "0 in", "0.1 in",
                        "of an open or filled one: how far its faces stand apart in the middle of its length")
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
      "A binding of thread or cloth wound round the limb, to hold a splinter, a split or the end of a layer. It pulls only, and "
      "bears on both faces. In a symmetric bow both limbs have it. Cloth along one face is a lamination that starts and ends.",
      {
          {quantity_key("from", Dimension::length, "0 in", "60 in", "station of its end toward the handle").needed(),
           [](WrapInput &into, const Value &value) { into.wrap.from = value.number; }},
          {quantity_key("to", Dimension::length, "0 in", "60 in", "station of its end toward the tip").needed(),
           [](WrapInput &into, const Value &value) { into.wrap.to = value.number; }},
          {plain_key("material", ValueKind::name,
                     "what is wound, from the library or the case's own; its stiffness and strength along the grain are the "
                     "thread's")
               .needed(),
           [](WrapInput &into, const Value &value) { into.material = value.text; }},
          {quantity_key("thickness", Dimension::length, "0.001 in", "0.1 in",
                        "of the thread alone: all its turns and layers laid out evenly over the length that is wrapped")
               .needed(),
           [](WrapInput &into, const Value &value) { into.wrap.thickness = value.number; }},
          {quantity_key("tension", Dimension::force_per_length, "0 N/m", "1000 lbf/in",
                        "with which it was wound and stays: of a thread, times the turns in an inch")
               .by_default("\"0 lbf/in\""),
           [](WrapInput &into, const Value &value) { into.wrap.tension = value.number; }},
          limb_of_two<WrapInput>(),
      }};
  return section;
}
} // namespace limbwright
