#include "cases/reader/limb_reader.h"

#include "cases/reader/offset_profile.h"
#include "meshing/shape/limb_shape.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

namespace limbwright
{
namespace
{
constexpr std::size_t most_laminations = 40;

double limb_length(const TomlView &view, const LimbInput &input, double half_length)
{
  if (!std::isnan(input.length) && !std::isnan(half_length) && std::abs(input.length - half_length) > 1e-4)
    view.complaints().error(view.place_of("length"), "is not half of bow.nock_to_nock; give only one of the two");
  if (std::isnan(input.length) && std::isnan(half_length) && !view.find("length"))
    view.complaints().error(view.place_of("length"), "is missing: the limb from center (the middle of the handle) to the string "
                                                     "nock; or give bow.nock_to_nock for like limbs");
  return std::isnan(input.length) ? half_length : input.length;
}

void complain_of_keys_of_other_shapes(const TomlView &view, const std::string &shape)
{
  static const std::vector<std::pair<std::string, std::vector<std::string>>> shapes_of_key{
      {"narrow", {"trapped back", "trapped belly"}},
      {"depth", {"trapped back", "trapped belly", "rounded belly", "facets"}},
      {"curve", {"rounded belly"}},
      {"radius", {"crowned back", "rounded belly", "rounded edges"}},
      {"rise", {"crowned back", "rounded belly"}},
      {"layers", {"crowned back", "rounded belly"}},
      {"across", {"facets"}}};
  for (const auto &[key, shapes] : shapes_of_key)
    if (view.find(key) && std::find(shapes.begin(), shapes.end(), shape) == shapes.end())
      view.complaints().error(view.place_of(key), fmt::format("does not go with shape = \"{}\"; it goes with \"{}\"", shape,
                                                              fmt::join(shapes, "\", \"")));
}

/// True where the key is there; complains where it is not. A value that could not be read has been complained of.
bool given(const TomlView &view, const std::string &shape, const std::string &key)
{
  const bool there = view.find(key).has_value();
  if (!there)
    view.complaints().error(view.place_of(key), fmt::format("is missing; shape = \"{}\" needs it", shape));
  return there;
}

FaceShape read_crown(const TomlView &view, const SectionInput &input)
{
  const bool has_radius = view.find("radius").has_value(), has_rise = view.find("rise").has_value();
  if (has_radius && has_rise)
    view.complaints().error(view.place_of("rise"), "give either the radius of the crown or its rise, not both");
  else if (has_radius)
    return ArcFace{input.radius, 0.};
  else if (has_rise)
    return ArcFace{0., input.rise};
  else if (input.shape == "crowned back")
    view.complaints().error(view.place_of("radius"), "is missing; a crowned back needs radius or rise");
  return PlainFace{};
}

SectionDescription read_cross_section(const TomlView &view)
{
  SectionInput input;
  read_section_of(view, "section", cross_section_section(), input);
  const TomlView where = view.find("section").value_or(view);
  complain_of_keys_of_other_shapes(where, input.shape);
  const double widest = std::max(input.back, input.belly), least = std::min(input.back, input.belly);
  if (input.shape == "rectangle" && least < 1.)
    where.error("a rectangle has one width, back to belly; write shape = \"trapezoid\", or leave out back and belly");
  else if (input.shape != "trapezoid" && least < 1.)
    where.error("back and belly go with shape = \"trapezoid\"");
  else if (widest < 1.)
    where.error("back and belly are both below 1; they are fractions of the widest width, so the wider face must be 1");

  SectionDescription section;
  section.back_width_factor = input.back;
  section.belly_width_factor = input.belly;
  const double depth = std::isnan(input.depth) ? 0. : input.depth;
  if (input.shape == "trapped back" && given(where, input.shape, "narrow"))
    section.back = TrappedFace{input.narrow, depth};
  if (input.shape == "trapped belly" && given(where, input.shape, "narrow"))
    section.belly = TrappedFace{input.narrow, depth};
  if (input.shape == "rounded belly" && !input.arc)
    section.belly = EllipticFace{depth};
  if (input.shape == "rounded belly" && input.arc)
  {
    if (depth > 0.)
      section.belly = ArcFace{0., depth};
    else
      where.complaints().error(where.place_of("depth"), "a belly rounded to an arc needs its depth as a length");
  }
  if (input.shape == "crowned back" || input.shape == "rounded belly")
    section.back = read_crown(where, input);
  section.follow_crown = std::holds_alternative<ArcFace>(section.back) && !input.flat_layers;
  if (where.find("layers") && !std::holds_alternative<ArcFace>(section.back))
    where.find("layers")->error("goes with a crowned back; give radius or rise as well");
  if (input.shape == "rounded edges" && given(where, input.shape, "radius"))
    section.back = section.belly = RoundedEdges{input.radius};
  if (input.shape == "facets" && given(where, input.shape, "across") && given(where, input.shape, "depth"))
    section.back = section.belly = Facets{input.across, depth > 0. ? depth : std::numeric_limits<double>::max()};
  return section;
}

StationTable read_profile(const TomlView &view, const LimbInput &input)
{
  if (!input.profile_by_offset)
    return input.profile;
  if (const auto lean = lean_from_offsets(input.profile))
    return *lean;
  view.find("profile").value_or(view).error(
      "the offset changes faster than the distance from center. Distances run along the back, so this cannot be: check the rows");
  return {};
}

/// Thickness of a ground taper between where it begins and ends.
StationTable ground_taper(const TomlView &view, const LaminationInput &input, double begin, double end)
{
  if (std::isnan(begin) || std::isnan(end) || !(begin < end))
    return {};
  const double last = input.butt - input.taper * (end - begin);
  if (last < 0.)
    view.complaints().error(
        view.place_of("taper"),
        fmt::format(
            "the taper reaches zero {:.3g} in from center, before the lamination's end at {:.4g} in; reduce it, or give end",
            (begin + input.butt / input.taper) / 0.0254, end / 0.0254));
  return {{begin, end}, {input.butt, std::max(last, 0.)}};
}

LaminationDescription read_lamination(const TomlView &view, double root, double tip)
{
  LaminationInput input;
  const std::size_t errors_before = view.complaints().n_errors();
  read_section(view, lamination_section(), input);
  LaminationDescription lamination = input.lamination;
  const bool has_butt = view.find("butt").has_value(), has_taper = view.find("taper").has_value();
  if (input.from_handle)
    lamination.start = root;
  if (input.to_tip)
    lamination.end = tip;
  if (view.find("thickness"))
  {
    if (has_butt || has_taper)
      view.complaints().error(view.place_of(has_butt ? "butt" : "taper"), "give either thickness, or butt and taper, not both");
  }
  else if (has_butt && has_taper)
  {
    if (!std::isnan(input.butt) && !std::isnan(input.taper))
      lamination.thickness = ground_taper(view, input, std::max(lamination.start, root), lamination.end);
  }
  else
    view.complaints().error(view.place_of("thickness"),
                            has_butt    ? "butt is given without taper; write for example taper = \"1.8 thou/in\""
                            : has_taper ? "taper is given without butt, the thickness at the thick end"
                                        : "is missing: a constant, a table, or butt and taper");
  if (view.complaints().n_errors() > errors_before)
    lamination.thickness = {};
  return lamination;
}

std::vector<LaminationDescription> read_laminations(const TomlView &view, double root, double tip)
{
  std::vector<LaminationDescription> list;
  const auto array = view.find("lamination");
  if (!array || !array->node().is_array() || array->entries().empty())
  {
    view.complaints().error(
        view.place_of("lamination"),
        fmt::format("at least one [[{}.lamination]] is needed, listed from the belly to the back", view.path()));
    return list;
  }
  const auto entries = array->entries();
  if (entries.size() > most_laminations)
  {
    array->error(fmt::format("{} laminations are too many; at most {} are allowed", entries.size(), most_laminations));
    return list;
  }
  for (const TomlView &entry : entries)
    list.push_back(read_lamination(entry, root, tip));
  for (std::size_t i = 0; i < list.size(); ++i)
    for (std::size_t j = 0; j < i; ++j)
      if (!list[i].name.empty() && list[i].name == list[j].name)
        entries[i].complaints().error(entries[i].place_of("name"),
                                      fmt::format("lamination {} already has this name; results could not be kept apart", j + 1));
  return list;
}

/// Beyond its rows a table keeps the value of the last one: a smooth one comes to it without a corner.
void level_beyond_rows(StationTable &table, double begin, double end)
{
  if (!table.smooth)
    return;
  table.level_before = table.station.front() > begin + same_station;
  table.level_after = table.station.back() < end - same_station;
}

double read_groove_depth(const TomlView &view, const NockInput &nock)
{
  const bool has_depth = !std::isnan(nock.groove_depth);
  if (nock.groove_length > 0. && !has_depth)
    view.find("nock")->complaints().error(view.find("nock")->place_of("groove"), "a groove also needs groove_depth");
  if (has_depth && !(nock.groove_length > 0.))
    view.find("nock")->complaints().error(view.find("nock")->place_of("groove_depth"),
                                          "goes with groove; give the length of the groove as well");
  return has_depth ? nock.groove_depth : 0.;
}
} // namespace

LimbDescription read_limb(const TomlView &view, const HandleInput &handle, double half_length)
{
  LimbDescription limb;
  LimbInput input;
  read_section(view, limb_section(), input);
  NockInput nock;
  read_section_of(view, "nock", nock_section(), nock);
  const double length = limb_length(view, input, half_length);
  limb.root_station = handle.rigid_half_length;
  limb.nock = {length, nock.depth_fraction, nock.across, nock.groove_length, read_groove_depth(view, nock), true};
  limb.tip_station = length + nock.from_tip;
  limb.root_back_x = std::isnan(handle.root_back_offset) ? handle.throat_to_back : handle.root_back_offset;
  limb.root_back_y = std::isnan(handle.root_back_height) ? handle.rigid_half_length : handle.root_back_height;
  limb.width = input.width;
  limb.profile.lean = read_profile(view, input);
  limb.profile.of_form = input.profile_of_form;
  limb.section = read_cross_section(view);
  limb.laminations = read_laminations(view, limb.root_station, limb.tip_station);
  level_beyond_rows(limb.width, limb.root_station, limb.tip_station);
  for (LaminationDescription &lamination : limb.laminations)
    level_beyond_rows(lamination.thickness, std::max(lamination.start, limb.root_station),
                      std::min(lamination.end, limb.tip_station));
  if (const auto bridge = view.find("bridge"))
    read_section(*bridge, bridge_section(), limb.bridge.emplace());
  return limb;
}
} // namespace limbwright
