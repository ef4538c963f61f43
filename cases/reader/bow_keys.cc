#include "cases/reader/bow_keys.h"

#include <algorithm>

namespace limbwright
{
namespace
{
// Limits below are there to catch slips of the pen (a comma, a wrong unit), not to judge a design; they are ours.

Key lean_or_offset()
{
  return table_key("profile",
                   {{"lean", Dimension::angle, "-120 deg", "120 deg"}, {"offset", Dimension::length, "-40 in", "40 in"}},
                   "side profile of the unstrung back, by distance from center. Either its angle (reflex +, 0 along the handle), "
                   "linear between rows. Or its offset toward the target, measured square to a straightedge along the handle; a "
                   "smooth curve goes through the points")
      .by_default("\"0 deg\"");
}
} // namespace

const Section<Case> &root_section()
{
  static const Section<Case> section{
      "",
      "Top of the file. Positions along a limb are distances from center (the middle of the handle), along the back.",
      {
          {plain_key("title", ValueKind::name, "one line that names the bow").needed(),
           [](Case &into, const Value &value) { into.title = value.text; }},
          {plain_key("about", ValueKind::text, "notes on the bow, as long as you like").by_default("\"\""),
           [](Case &into, const Value &value) { into.about = value.text; }},
      },
      {"bow", "handle", "hold", "string", "limb", "upper", "lower", "glue", "weak", "material", "adhesive", "conditions", "mesh",
       "solve", "measured", "expect"}};
  return section;
}

const Section<BowInput> &bow_section()
{
  static const Section<BowInput> section{
      "bow",
      "Lengths of the whole bow and of the draw.",
      {
          {quantity_key("nock_to_nock", Dimension::length, "10 in", "150 in",
                        "between the string nocks along the unstrung back; instead of limb.length, for two like limbs"),
           [](BowInput &into, const Value &value) { into.nock_to_nock = value.number; }},
          {quantity_key("brace_height", Dimension::length, "0.5 in", "20 in", "throat of the grip to the braced string").needed(),
           [](BowInput &into, const Value &value) { into.brace_height = value.number; }},
          {quantity_key("draw_length", Dimension::length, "2 in", "80 in", "full draw, in the convention below").needed(),
           [](BowInput &into, const Value &value) { into.draw_length = value.number; }},
          {choice_key("draw_convention", {"pivot + 1.75 in", "back of bow", "pivot"},
                      "how draw lengths are measured. The usual standard is from the throat of the grip (pivot) to the nocking "
                      "point, plus 1.75 in. Others are from the back of the bow at the handle (pivot + throat_to_back), or from "
                      "the throat itself")
               .by_default("\"pivot + 1.75 in\""),
           [](BowInput &into, const Value &value)
           {
             into.convention = value.text == "pivot"         ? DrawConvention::pivot
                               : value.text == "back of bow" ? DrawConvention::back_of_bow
                                                             : DrawConvention::pivot_plus_1_75_in;
           }},
      }};
  return section;
}

const Section<HandleInput> &handle_section()
{
  static const Section<HandleInput> section{
      "handle",
      "The part that does not bend.",
      {
          {quantity_key("rigid_half_length", Dimension::length, "0 in", "40 in",
                        "stiff half of the handle: center to where the limb starts to bend, along the back; if the riser is one "
                        "of the laminations, to where it is held")
               .needed(),
           [](HandleInput &into, const Value &value) { into.rigid_half_length = value.number; }},
          {quantity_key("throat_to_back", Dimension::length, "-2 in", "10 in",
                        "grip depth: throat of the grip to the back of the bow at the handle")
               .needed(),
           [](HandleInput &into, const Value &value) { into.throat_to_back = value.number; }},
          {quantity_key(
               "root_back_offset", Dimension::length, "-20 in", "20 in",
               "where the limb starts: distance of its back in front of the throat of the grip; default: throat_to_back"),
           [](HandleInput &into, const Value &value) { into.root_back_offset = value.number; }},
          {quantity_key("root_back_height", Dimension::length, "-1 in", "40 in",
                        "where the limb starts: height of its back above center; default: rigid_half_length"),
           [](HandleInput &into, const Value &value) { into.root_back_height = value.number; }},
      }};
  return section;
}

const Section<HoldInput> &hold_section()
{
  static const Section<HoldInput> section{
      "hold",
      "How a bow of unlike limbs is held and drawn; goes with [upper] and [lower]. Like limbs are drawn at center.",
      {
          {quantity_key("nocking_height", Dimension::length, "-6 in", "6 in",
                        "the arrow's nocking point above the throat of the grip, braced")
               .by_default("\"0 in\""),
           [](HoldInput &into, const Value &value) { into.nocking_height = value.number; }},
          {choice_key("fingers", {"split", "three under"}, "one finger above the arrow, or all three below it")
               .by_default("\"split\""),
           [](HoldInput &into, const Value &value) { into.three_under = value.text == "three under"; }},
          {quantity_key("fingers_below", Dimension::length, "0 in", "4 in",
                        "distance from the nocking point down to the middle of the fingers; auto is 0 for split and 0.9 in for "
                        "three under (our judgment, from finger width)",
                        {"auto"})
               .by_default("\"auto\""),
           [](HoldInput &into, const Value &value) { into.fingers_below = value.text.empty() ? value.number : not_given; }},
          {choice_key("height", {"free", "kept"},
                      "height of the nocking point during the draw: free to float, so that nothing pulls along the fingers, or "
                      "held where it was at brace")
               .by_default("\"free\""),
           [](HoldInput &into, const Value &value) { into.free_height = value.text == "free"; }},
          {choice_key("handle", {"fixed", "rocks"}, "the handle keeps its angle, or heels in the hand about its pressure point")
               .by_default("\"fixed\""),
           [](HoldInput &into, const Value &value) { into.free_handle = value.text == "rocks"; }},
          {quantity_key("pressure_height", Dimension::length, "-6 in", "6 in",
                        "the hand's pressure point above the throat of the grip, for a handle that rocks")
               .by_default("\"0 in\""),
           [](HoldInput &into, const Value &value) { into.pressure_height = value.number; }},
      }};
  return section;
}

const Section<StringDescription> &string_section()
{
  static const Section<StringDescription> section{
      "string",
      "The string as a whole.",
      {
          {quantity_key("EA", Dimension::force, "10 lbf", "1e7 lbf",
                        "stiffness: the force that would stretch the whole string to twice its length", {"inextensible"})
               .by_default("\"inextensible\""),
           [](StringDescription &into, const Value &value)
           {
             if (value.text.empty())
               into.stiffness = value.number;
           }},
          {quantity_key("mass", Dimension::mass, "0 grain", "10000 grain", "the whole string with its servings")
               .by_default("\"0 grain\""),
           [](StringDescription &into, const Value &value) { into.mass = value.number; }},
      }};
  return section;
}

const Section<LimbInput> &limb_section()
{
  static const Section<LimbInput> section{
      "limb",
      "Both limbs, if they are alike. For unlike limbs write [upper] and [lower] with the same keys instead of [limb].",
      {
          {quantity_key("length", Dimension::length, "5 in", "75 in",
                        "center to the string nock along the back; for like limbs half of nock_to_nock"),
           [](LimbInput &into, const Value &value) { into.length = value.number; }},
          {table_key("width", {{"width", Dimension::length, "0.02 in", "10 in"}},
                     "widest width of the cross section by distance from center, or one for all; straight edges join rows more "
                     "than 4 in apart, with corners faired over 2 in")
               .needed()
               .smooth_between_rows(),
           [](LimbInput &into, const Value &value) { into.width = value.table; }},
          {lean_or_offset(),
           [](LimbInput &into, const Value &value)
           {
             into.profile = value.table;
             into.profile_by_offset = value.text == "offset";
           }},
          {choice_key("profile_of", {"unstrung", "form"},
                      "what the profile was taken from: the unstrung bow, or the form on which prestrained laminations were "
                      "glued, before springback")
               .by_default("\"unstrung\""),
           [](LimbInput &into, const Value &value) { into.profile_of_form = value.text == "form"; }},
      },
      {"section", "nock", "bridge", "lamination"}};
  return section;
}

const Section<SectionInput> &cross_section_section()
{
  static const Section<SectionInput> section{
      "limb.section",
      "Shape of the cross section, over the whole stack. Where the limb gets too small for it toward the tip, it is made as "
      "large as fits.",
      {
          {choice_key("shape",
                      {"rectangle", "trapezoid", "trapped back", "trapped belly", "rounded belly", "crowned back",
                       "rounded edges", "facets"},
                      "Keys of each shape: trapezoid takes back and belly; trapped takes narrow and depth. Rounded belly takes "
                      "depth and curve, and radius or rise if the back is crowned as well. Crowned back takes radius or rise; "
                      "rounded edges takes radius; facets takes across and depth")
               .by_default("\"rectangle\""),
           [](SectionInput &into, const Value &value) { into.shape = value.text; }},
          {quantity_key("back", Dimension::ratio, "0.05", "1", "width at the back over the widest width").by_default("1.0"),
           [](SectionInput &into, const Value &value) { into.back = value.number; }},
          {quantity_key("belly", Dimension::ratio, "0.05", "1", "width at the belly over the widest width").by_default("1.0"),
           [](SectionInput &into, const Value &value) { into.belly = value.number; }},
          {quantity_key("narrow", Dimension::ratio, "0.05", "1", "width at the trapped face over the widest width"),
           [](SectionInput &into, const Value &value) { into.narrow = value.number; }},
          {quantity_key("depth", Dimension::length, "0.005 in", "4 in",
                        "how deep the shape goes in from the face; default: through the whole stack", {"whole"}),
           [](SectionInput &into, const Value &value) { into.depth = value.text.empty() ? value.number : 0.; }},
          {choice_key("curve", {"ellipse", "arc"}, "curve of a rounded belly; default: half an ellipse"),
           [](SectionInput &into, const Value &value) { into.arc = value.text == "arc"; }},
          {quantity_key("radius", Dimension::length, "0.005 in", "20 in",
                        "radius of the crown across the back, or of rounded edges"),
           [](SectionInput &into, const Value &value) { into.radius = value.number; }},
          {quantity_key("rise", Dimension::length, "0.005 in", "2 in",
                        "instead of radius: height of the middle of the back above its edges"),
           [](SectionInput &into, const Value &value) { into.rise = value.number; }},
          {quantity_key("across", Dimension::length, "0.005 in", "4 in", "how much width facets take off the face on each side"),
           [](SectionInput &into, const Value &value) { into.across = value.number; }},
          {choice_key("layers", {"follow", "flat"},
                      "under a crowned back: laminations follow the crown, like growth rings or a strip bent over it, or lie "
                      "flat, like a backing rounded after glue-up; default: follow"),
           [](SectionInput &into, const Value &value) { into.flat_layers = value.text == "flat"; }},
      }};
  return section;
}

const Section<NockInput> &nock_section()
{
  static const Section<NockInput> section{
      "limb.nock",
      "The string nock.",
      {
          {quantity_key("from_tip", Dimension::length, "0 in", "12 in", "how far the limb continues beyond the string nock")
               .by_default("\"0 in\""),
           [](NockInput &into, const Value &value) { into.from_tip = value.number; }},
          {quantity_key("depth", Dimension::ratio, "0", "1",
                        "where the string sits in the thickness: a word, or the fraction from back (0) to belly (1)",
                        {"belly", "middle", "back"})
               .by_default("\"belly\""),
           [](NockInput &into, const Value &value) {
             into.depth_fraction = value.text.empty()       ? value.number
                                   : value.text == "belly"  ? 1.
                                   : value.text == "middle" ? 0.5
                                                            : 0.;
           }},
          {quantity_key(
               "across", Dimension::length, "-2 in", "2 in",
               "string off center, + to the archer's right in both limbs; only in three dimensions, with the whole width")
               .by_default("\"0 in\""),
           [](NockInput &into, const Value &value) { into.across = value.number; }},
          {quantity_key("groove", Dimension::length, "0 in", "12 in",
                        "length of the string groove in the belly before the nock, for a string that lies on the limb")
               .by_default("\"0 in\""),
           [](NockInput &into, const Value &value) { into.groove_length = value.number; }},
          {quantity_key("groove_depth", Dimension::length, "0.005 in", "0.5 in",
                        "depth of the string in that groove, below the belly; it enters the nock no higher"),
           [](NockInput &into, const Value &value) { into.groove_depth = value.number; }},
      }};
  return section;
}

const Section<StringBridgeDescription> &bridge_section()
{
  static const Section<StringBridgeDescription> section{
      "limb.bridge",
      "A string bridge: a block on the belly that the string lands on. It is a hard point without mass; if it should stiffen the "
      "limb, write a lamination.",
      {
          {quantity_key("station", Dimension::length, "1 in", "80 in",
                        "distance of its highest point from center, before the nock")
               .needed(),
           [](StringBridgeDescription &into, const Value &value) { into.station = value.number; }},
          {quantity_key("height", Dimension::length, "0 in", "3 in", "height of that point above the belly").needed(),
           [](StringBridgeDescription &into, const Value &value) { into.height = value.number; }},
      }};
  return section;
}

const Section<LaminationInput> &lamination_section()
{
  static const Section<LaminationInput> section{
      "limb.lamination[]",
      "One table per lamination, listed from the belly to the back; at least one runs the whole limb. The side profile and all "
      "positions are along the back of the outermost of those.",
      {
          {plain_key("name", ValueKind::name, "its name in the results; different from the others").needed(),
           [](LaminationInput &into, const Value &value) { into.lamination.name = value.text; }},
          {plain_key("material", ValueKind::name, "a material of this file or the library").needed(),
           [](LaminationInput &into, const Value &value) { into.lamination.material = value.text; }},
          {table_key("thickness", {{"thickness", Dimension::length, "0 in", "4 in"}},
                     "thickness by distance from center, or one for all; without glue unless glue.stack says otherwise. Straight "
                     "tapers join rows more than 4 in apart and are faired into each other over 2 in. A ground strip has "
                     "corners: write between_rows = \"straight\", or butt and taper")
               .smooth_between_rows(),
           [](LaminationInput &into, const Value &value) { into.lamination.thickness = value.table; }},
          {quantity_key("butt", Dimension::length, "0.001 in", "4 in",
                        "instead of thickness, for a ground taper: thickness at its start, or where the limb starts to bend"),
           [](LaminationInput &into, const Value &value) { into.butt = value.number; }},
          {quantity_key("taper", Dimension::taper, "-0.1 in/in", "0.1 in/in",
                        "with butt: thickness lost per length, toward the tip"),
           [](LaminationInput &into, const Value &value) { into.taper = value.number; }},
          {quantity_key("start", Dimension::length, "0 in", "80 in", "where it begins, from center", {"handle"})
               .by_default("\"handle\""),
           [](LaminationInput &into, const Value &value)
           {
             into.from_handle = !value.text.empty();
             into.lamination.start = value.number;
           }},
          {quantity_key("end", Dimension::length, "0 in", "80 in", "where it ends, from center", {"tip"}).by_default("\"tip\""),
           [](LaminationInput &into, const Value &value)
           {
             into.to_tip = !value.text.empty();
             into.lamination.end = value.number;
           }},
          {quantity_key("feather", Dimension::length, "0.0005 in", "0.1 in", "thickness at which a feathered end stops")
               .by_default("\"0.005 in\""),
           [](LaminationInput &into, const Value &value) { into.lamination.feather = value.number; }},
          {quantity_key("bevel", Dimension::length, "0 in", "20 in",
                        "length over which a square end is beveled down to the feather thickness; 0 in leaves it square")
               .by_default("\"0 in\""),
           [](LaminationInput &into, const Value &value) { into.lamination.bevel = value.number; }},
          {choice_key("grain", {"along", "handle"},
                      "grain along the lamination, or straight along the handle everywhere, as in a riser sawn from a block")
               .by_default("\"along\""),
           [](LaminationInput &into, const Value &value)
           { into.lamination.grain = value.text == "handle" ? GrainDirection::along_handle : GrainDirection::along_lamination; }},
          {table_key("run_out", {{"run_out", Dimension::angle, "-45 deg", "45 deg"}},
                     "run-out of the grain in the side view, + when it runs toward the back on its way to the tip. A slope (\"1 "
                     "in 20\"), an angle, or a table in deg")
               .by_default("\"0 deg\""),
           [](LaminationInput &into, const Value &value)
           {
             if (std::any_of(value.table.value.begin(), value.table.value.end(), [](double angle) { return angle != 0.; }))
               into.lamination.run_out = value.table;
           }},
          {choice_key("ring", {"flat", "edge"}, "growth rings: flat (flat-sawn), or on edge (quarter-sawn)")
               .by_default("\"flat\""),
           [](LaminationInput &into, const Value &value)
           { into.lamination.ring = value.text == "edge" ? RingOrientation::edge : RingOrientation::flat; }},
          {quantity_key("shrinkage", Dimension::ratio, "-0.05", "0.05",
                        "shrinkage along the grain after gluing, if nothing held it, as of drying sinew")
               .by_default("0.0"),
           [](LaminationInput &into, const Value &value) { into.lamination.shrinkage = value.number; }},
          {choice_key("bent_to_form", {"no", "yes"},
                      "yes: it was straight and was bent to the profile at glue-up, which strains it")
               .by_default("\"no\""),
           [](LaminationInput &into, const Value &value) { into.lamination.bent_to_form = value.text == "yes"; }},
      }};
  return section;
}

const Section<GlueInput> &glue_section()
{
  static const Section<GlueInput> section{
      "glue",
      "All glue lines; needed if there are two laminations or more.",
      {
          {plain_key("adhesive", ValueKind::name, "an adhesive of this file or the library").needed(),
           [](GlueInput &into, const Value &value) { into.line.adhesive = value.text; }},
          {quantity_key("thickness", Dimension::length, "0 in", "0.1 in",
                        "thickness of one glue line; 0 in is a bond without thickness")
               .needed(),
           [](GlueInput &into, const Value &value) { into.line.thickness = value.number; }},
          {quantity_key("bond_stiffness", Dimension::stiffness_per_area, "1e9 Pa/m", "1e17 Pa/m",
                        "stiffness per area of a bond without thickness; only for thickness 0 in, and needed there"),
           [](GlueInput &into, const Value &value) { into.line.bond_stiffness = value.number; }},
          {choice_key("parts", {"no", "yes"},
                      "yes: glue past its strength softens and lets go; no: it stays elastic; yes takes more time")
               .by_default("\"no\""),
           [](GlueInput &into, const Value &value) { into.line.cohesive = value.text == "yes"; }},
          {choice_key("stack", {"laminations", "glued"},
                      "what the thicknesses are: of the laminations alone, or measured on the glued stack; then half of every "
                      "glue line a lamination touches is taken off it")
               .by_default("\"laminations\""),
           [](GlueInput &into, const Value &value) { into.stack_includes_glue = value.text == "glued"; }},
      },
      {"line", "patch"}};
  return section;
}

const Section<GlueLineInput> &glue_line_section()
{
  static const Section<GlueLineInput> section{
      "glue.line[]",
      "A glue line that differs from the others.",
      {
          {plain_key("between", ValueKind::names,
                     "names of the two laminations it joins, neighbors in the list; where the one toward the back has ended, the "
                     "line continues between the first and whatever lies there")
               .needed(),
           [](GlueLineInput &into, const Value &value) {
             into.between = {value.names[0], value.names[1]};
           }},
          {plain_key("adhesive", ValueKind::name, "default: glue.adhesive"),
           [](GlueLineInput &into, const Value &value) { into.adhesive = value.text; }},
          {quantity_key("thickness", Dimension::length, "0 in", "0.1 in", "default: glue.thickness"),
           [](GlueLineInput &into, const Value &value) { into.thickness = value.number; }},
          {choice_key("parts", {"no", "yes"}, "default: glue.parts"),
           [](GlueLineInput &into, const Value &value) { into.cohesive = value.text == "yes"; }},
          {quantity_key("bond_stiffness", Dimension::stiffness_per_area, "1e9 Pa/m", "1e17 Pa/m", "only for thickness 0 in"),
           [](GlueLineInput &into, const Value &value) { into.bond_stiffness = value.number; }},
      }};
  return section;
}

const Section<GluePatchInput> &glue_patch_section()
{
  static const Section<GluePatchInput> section{
      "glue.patch[]",
      "A stretch of a glue line that is starved, open or filled. In a bow of like limbs both limbs have it.",
      {
          {plain_key("between", ValueKind::names,
                     "names of two laminations that touch along all of it: neighbors in the list, or two that meet where the one "
                     "between them has ended")
               .needed(),
           [](GluePatchInput &into, const Value &value) {
             into.between = {value.names[0], value.names[1]};
           }},
          {quantity_key("from", Dimension::length, "0 in", "60 in", "where it begins, from center").needed(),
           [](GluePatchInput &into, const Value &value) { into.patch.from = value.number; }},
          {quantity_key("to", Dimension::length, "0 in", "60 in", "where it ends, from center").needed(),
           [](GluePatchInput &into, const Value &value) { into.patch.to = value.number; }},
          {quantity_key(
               "strength", Dimension::ratio, "0", "1",
               "fraction of the line's strength and fracture energy it has left; 0 is open: the faces only press on each other")
               .by_default("0"),
           [](GluePatchInput &into, const Value &value) { into.patch.strength = value.number; }},
          {quantity_key("width_share", Dimension::ratio, "0.01", "1",
                        "fraction of the width it covers; the side view spreads it: the whole width holds that much less")
               .by_default("1"),
           [](GluePatchInput &into, const Value &value) { into.patch.width_share = value.number; }},
          {quantity_key("across", Dimension::length, "-4 in", "4 in",
                        "for a patch over part of the width: its middle off center, + to the archer's right in both limbs; in "
                        "three dimensions, where the whole width is then meshed")
               .by_default("\"0 in\""),
           [](GluePatchInput &into, const Value &value) { into.patch.across = value.number; }},
          {quantity_key("gap", Dimension::length, "0 in", "0.1 in",
                        "for an open or filled patch: the gap between its faces in the middle of its length. No two faces are "
                        "flat, and a loose layer in compression buckles from there")
               .by_default("\"0.005 in\""),
           [](GluePatchInput &into, const Value &value) { into.patch.gap = value.number; }},
          {plain_key("filling", ValueKind::name,
                     "adhesive that fills it, from this file or the library; as thick as the line plus the gap, as strong as "
                     "that adhesive times strength"),
           [](GluePatchInput &into, const Value &value) { into.patch.filling = value.text; }},
          {choice_key("limb", {"both", "upper", "lower"}, "which limb has it, in a bow of unlike limbs").by_default("\"both\""),
           [](GluePatchInput &into, const Value &value) { into.limb = value.text; }},
      }};
  return section;
}
} // namespace limbwright
