#pragma once

#include "cases/reader/case.h"
#include "cases/reader/keys.h"

#include <array>
#include <limits>
#include <optional>
#include <string>

namespace limbwright
{
// The tables of a case file as they are written, before the limb's frame and stations are worked out. SI; NaN: not given.

inline constexpr double not_given = std::numeric_limits<double>::quiet_NaN();

struct BowInput
{
  double nock_to_nock = not_given; //!< [m]
  double brace_height = not_given; //!< [m]
  double draw_length = not_given;  //!< [m] in the convention
  DrawConvention convention = DrawConvention::pivot_plus_1_75_in;
};

struct HandleInput
{
  double rigid_half_length = not_given; //!< [m]
  double throat_to_back = not_given;    //!< [m]
  double root_back_offset = not_given;  //!< [m]
  double root_back_height = not_given;  //!< [m]
};

/// How the archer holds a bow of two unlike limbs.
struct HoldInput
{
  double nocking_height = 0.;       //!< [m] the arrow's nocking point above the pivot, at brace
  bool three_under = false;         //!< all fingers below the arrow
  double fingers_below = not_given; //!< [m] of the fingers' middle below the nocking point; by the grip of the fingers
  bool free_height = true, free_handle = false;
  double pressure_height = 0.; //!< [m]
};

struct SectionInput
{
  std::string shape = "rectangle";
  double back = 1., belly = 1.; //!< [1] of straight sides
  double narrow = not_given;    //!< [1]
  double depth = not_given;     //!< [m] 0: the whole stack
  bool arc = false, flat_layers = false;
  double radius = not_given, rise = not_given, across = not_given; //!< [m]
};

struct NockInput
{
  double from_tip = 0.; //!< [m]
  double depth_fraction = 1.;
  double across = 0.;                                  //!< [m]
  double groove_length = 0., groove_depth = not_given; //!< [m]
};

struct LimbInput
{
  double length = not_given; //!< [m] middle of the handle to the string nock
  StationTable width;        //!< [m]
  StationTable profile;      //!< lean [rad], or offsets [m]
  bool profile_by_offset = false, profile_of_form = false;
};

struct LaminationInput
{
  LaminationDescription lamination;
  bool from_handle = true, to_tip = true;
  double butt = not_given;  //!< [m]
  double taper = not_given; //!< [1]
};

struct GlueInput
{
  GlueLineDescription line;
  bool stack_includes_glue = false;
};

struct GlueLineInput
{
  std::array<std::string, 2> between;
  std::string adhesive; //!< empty: as the others
  std::optional<bool> cohesive;
  double thickness = not_given;
  double bond_stiffness = not_given;
};

/// A stretch of a glue line that is worse than the rest.
struct GluePatchInput
{
  std::array<std::string, 2> between;
  GluePatch patch;
  std::string limb; //!< "both", "upper", "lower"
};

const Section<Case> &root_section();
const Section<BowInput> &bow_section();
const Section<HandleInput> &handle_section();
const Section<HoldInput> &hold_section();
const Section<StringDescription> &string_section();
const Section<LimbInput> &limb_section();
const Section<SectionInput> &cross_section_section();
const Section<NockInput> &nock_section();
const Section<StringBridgeDescription> &bridge_section();
const Section<LaminationInput> &lamination_section();
const Section<GlueInput> &glue_section();
const Section<GlueLineInput> &glue_line_section();
const Section<GluePatchInput> &glue_patch_section();
const Section<MeshSettings> &mesh_section();
const Section<SolveSettings> &solve_section();
const Section<Conditions> &conditions_section();

/// An expected result: its value's unit follows from the quantity's name, so it is kept as text here.
struct ExpectInput
{
  std::string quantity, value, tolerance;
};
const Section<ExpectInput> &expect_section();
} // namespace limbwright
