#include "cases/report/words.h"

#include "cases/report/split_words.h"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>

namespace limbwright
{
namespace
{
const LaminationDescription *lamination_of(const Case &bow_case, const HotSpot &spot)
{
  const auto &laminations = limb_of(bow_case, spot.limb).laminations;
  if (spot.lamination < 0 || static_cast<std::size_t>(spot.lamination) >= laminations.size())
    return nullptr;
  return &laminations[static_cast<std::size_t>(spot.lamination)];
}

const Adhesive *adhesive_of(const Case &bow_case, const HotSpot &spot)
{
  const auto &glue = limb_of(bow_case, spot.limb).glue;
  if (spot.glue_line < 0 || static_cast<std::size_t>(spot.glue_line) >= glue.size())
    return nullptr;
  const auto found = bow_case.bow.adhesives.find(glue[static_cast<std::size_t>(spot.glue_line)].adhesive);
  return found == bow_case.bow.adhesives.end() ? nullptr : &found->second;
}

/// The lamination on a glue line's back side; where it is not said, the next one whose stated ends hold the station.
int back_of_line(const Case &bow_case, const HotSpot &spot)
{
  if (spot.back_lamination >= 0)
    return spot.back_lamination;
  const auto &laminations = limb_of(bow_case, spot.limb).laminations;
  for (auto i = static_cast<std::size_t>(spot.glue_line) + 1; i < laminations.size(); ++i)
    if (spot.station >= laminations[i].start && spot.station <= laminations[i].end)
      return static_cast<int>(i);
  return spot.glue_line + 1;
}

/// Keys of the properties the limit of a mode is made of.
std::vector<std::string> limit_keys(FailureMode mode, RingOrientation ring)
{
  const std::string through = ring == RingOrientation::flat ? "R" : "T";
  switch (mode)
  {
  case FailureMode::tension_along:
    return {"tension_L"};
  case FailureMode::compression_along:
  case FailureMode::belly_set:
    return {"compression_L"};
  case FailureMode::across_tension:
    return {"tension_" + through};
  case FailureMode::across_compression:
    return {"compression_" + through};
  case FailureMode::shear:
    return {"shear_L" + through};
  case FailureMode::rolling_shear:
    return {"shear_RT"};
  case FailureMode::interaction:
    return {"tension_L", "compression_L", "tension_" + through, "compression_" + through, "shear_L" + through};
  case FailureMode::belly_crushing:
    return {"compression_L", "tension_L"};
  case FailureMode::glue_shear:
    return {"shear_strength"};
  case FailureMode::glue_peel:
    return {"tensile_strength"};
  case FailureMode::glue_mixed:
    return {"shear_strength", "tensile_strength"};
  case FailureMode::patch_growth:
  case FailureMode::edge_growth:
    return {"fracture_energy_I", "fracture_energy_II"};
  case FailureMode::splinter:
    return {"tension_" + through, "shear_L" + through};
  case FailureMode::slanting_grain:
    return {"tension_L", "tension_" + through, "shear_L" + through};
  case FailureMode::knot_cracks:
    return {"tension_" + through};
  case FailureMode::wrap_breaks:
    return {};
  }
  return {};
}

int doubt(Provenance provenance)
{
  switch (provenance)
  {
  case Provenance::table:
  case Provenance::measured:
    return 0;
  case Provenance::derived:
    return 1;
  case Provenance::memory:
    return 2;
  case Provenance::estimate:
    return 3;
  }
  return 3;
}

/// A caution about the least certain of the properties; empty when all were looked up.
std::string caution_about(const std::string &title, const std::map<std::string, PropertySource> &sources,
                          const std::vector<std::string> &keys, const std::string &what = "strength")
{
  int worst = 0;
  for (const auto &key : keys)
  {
    const auto found = sources.find(key);
    if (found == sources.end())
      return "the " + what + " of " + title + " used here has no stated source";
    worst = std::max(worst, doubt(found->second.provenance));
  }
  constexpr const char *words[] = {"", "is derived, not measured", "is from memory, with no source", "is an estimate"};
  return worst == 0 ? std::string() : "the " + what + " of " + title + " used here " + words[worst];
}
} // namespace

const LimbDescription &limb_of(const Case &bow_case, LimbName limb)
{
  return limb == LimbName::lower && bow_case.bow.lower ? *bow_case.bow.lower : bow_case.bow.upper;
}

const Material *material_of(const Case &bow_case, const HotSpot &spot)
{
  const auto *lamination = lamination_of(bow_case, spot);
  if (lamination == nullptr)
    return nullptr;
  const auto found = bow_case.bow.materials.find(lamination->material);
  return found == bow_case.bow.materials.end() ? nullptr : &found->second;
}

std::string mode_words(FailureMode mode)
{
  switch (mode)
  {
  case FailureMode::tension_along:
    return "tension break along the grain";
  case FailureMode::compression_along:
    return "compression failure along the grain";
  case FailureMode::across_tension:
    return "splitting (tension across the grain)";
  case FailureMode::across_compression:
    return "crushing across the grain";
  case FailureMode::shear:
    return "splitting (shear along the grain)";
  case FailureMode::rolling_shear:
    return "splitting (rolling shear)";
  case FailureMode::interaction:
    return "tension, compression and shear combined (Tsai-Wu)";
  case FailureMode::belly_set:
    return "belly taking set";
  case FailureMode::belly_crushing:
    return "compression failure of the belly";
  case FailureMode::glue_shear:
    return "delamination (glue line in shear)";
  case FailureMode::glue_peel:
    return "delamination (glue line in peel)";
  case FailureMode::glue_mixed:
    return "delamination (peel and shear combined)";
  case FailureMode::patch_growth:
    return "open patch growing";
  case FailureMode::edge_growth:
    return "delamination starting at an edge";
  case FailureMode::splinter:
    return "splinter lifting (tension and shear across slanting grain)";
  case FailureMode::slanting_grain:
    return "break across slanting grain (Norris)";
  case FailureMode::knot_cracks:
    return "knot cracking";
  case FailureMode::wrap_breaks:
    return "wrap thread breaking";
  }
  return "failure";
}

std::string mode_key(FailureMode mode)
{
  switch (mode)
  {
  case FailureMode::tension_along:
    return "tension_along";
  case FailureMode::compression_along:
    return "compression_along";
  case FailureMode::across_tension:
    return "across_tension";
  case FailureMode::across_compression:
    return "across_compression";
  case FailureMode::shear:
    return "shear";
  case FailureMode::rolling_shear:
    return "rolling_shear";
  case FailureMode::interaction:
    return "interaction";
  case FailureMode::belly_set:
    return "belly_set";
  case FailureMode::belly_crushing:
    return "belly_crushing";
  case FailureMode::glue_shear:
    return "glue_shear";
  case FailureMode::glue_peel:
    return "glue_peel";
  case FailureMode::glue_mixed:
    return "glue_mixed";
  case FailureMode::patch_growth:
    return "patch_growth";
  case FailureMode::edge_growth:
    return "edge_growth";
  case FailureMode::splinter:
    return "splinter";
  case FailureMode::slanting_grain:
    return "slanting_grain";
  case FailureMode::knot_cracks:
    return "knot_cracks";
  case FailureMode::wrap_breaks:
    return "wrap_breaks";
  }
  return "unknown";
}

namespace
{
/// The last mode and the last kind of event in their enumerations.
constexpr FailureMode last_mode = FailureMode::wrap_breaks;
constexpr Event::Kind last_event = Event::Kind::grows_by_itself;

/// The value, of those up to the last one, that has this key.
template <class Kind, class Key>
std::optional<Kind> of_key(const std::string &key, Kind last, Key key_of)
{
  for (int i = 0; i <= static_cast<int>(last); ++i)
    if (key_of(static_cast<Kind>(i)) == key)
      return static_cast<Kind>(i);
  return std::nullopt;
}
} // namespace

std::optional<FailureMode> mode_of_key(const std::string &key)
{
  return of_key(key, last_mode, mode_key);
}

std::optional<Event::Kind> event_of_key(const std::string &key)
{
  return of_key(key, last_event, event_key);
}

std::string limb_key(LimbName limb)
{
  return limb == LimbName::upper ? "upper" : "lower";
}

std::string limb_words(LimbName limb, bool symmetric)
{
  return symmetric ? "both limbs" : limb_key(limb) + " limb";
}

std::string face_words(Face face)
{
  switch (face)
  {
  case Face::belly:
    return "belly face";
  case Face::back:
    return "back face";
  case Face::inside:
    return "inside";
  }
  return "";
}

std::string layer_name(const Case &bow_case, const HotSpot &spot)
{
  const auto &laminations = limb_of(bow_case, spot.limb).laminations;
  const auto back = static_cast<std::size_t>(back_of_line(bow_case, spot));
  if (in_split(bow_case, spot))
    return split_name(limb_of(bow_case, spot.limb), spot.glue_line);
  if (spot.glue_line >= 0 && back < laminations.size())
    return laminations[static_cast<std::size_t>(spot.glue_line)].name + " | " + laminations[back].name;
  const auto *lamination = lamination_of(bow_case, spot);
  return lamination != nullptr ? lamination->name : spot.mode == FailureMode::wrap_breaks ? "wrap" : "whole section";
}

std::string side_words(double z)
{
  return z > 0. ? "the archer's right" : "the archer's left";
}

std::string place_words(const Case &bow_case, const HotSpot &spot, bool symmetric, Units units)
{
  auto text = fmt::format("{}, {} from center, ", limb_words(spot.limb, symmetric), told(spot.station, told_draw, units));
  // Across the width, of a solid.
  const double across = std::abs(spot.across);
  // Of a limb whose halves are alike either edge will do; of such a solid only one half is there.
  const std::string edge = limb_of(bow_case, spot.limb).even_across() ? "an edge" : "the edge on " + side_words(spot.across);
  const std::string where = bow_case.solve.dimension == 2 ? ""
                            : across < 0.05               ? ", at mid-width"
                            : across > 0.95               ? ", at " + edge
                                            : fmt::format(", {:.0f} % of the way from mid-width to {}", 100. * across, edge);
  if (spot.glue_line >= 0)
    return text + (in_split(bow_case, spot) ? "" : "glue line ") + layer_name(bow_case, spot) + where;
  text += layer_name(bow_case, spot);
  return (spot.lamination >= 0 ? text + ", " + face_words(spot.face) : text) + where;
}

namespace
{
struct EventName
{
  const char *key, *words;
};

EventName event_name(Event::Kind kind)
{
  switch (kind)
  {
  case Event::Kind::first_yield:
    return {"first_yield", "wood starts to take set (yields in compression)"};
  case Event::Kind::yielded_tenth:
    return {"yielded_tenth", "a tenth of the cross section has taken set"};
  case Event::Kind::yielded_quarter:
    return {"yielded_quarter", "a quarter of the cross section has taken set"};
  case Event::Kind::yielded_half:
    return {"yielded_half", "half of the cross section has taken set"};
  case Event::Kind::belly_crushes:
    return {"belly_crushes", "the belly fails in compression"};
  case Event::Kind::tension_break:
    return {"tension_break", "a layer breaks in tension"};
  case Event::Kind::glue_past_strength:
    return {"glue_past_strength", "a glue line would let go"};
  case Event::Kind::patch_could_grow:
    return {"patch_could_grow", "the open patch has the energy to grow"};
  case Event::Kind::glue_parts:
    return {"glue_parts", "a glue line lets go"};
  case Event::Kind::layer_buckles:
    return {"layer_buckles", "the loose layer buckles"};
  case Event::Kind::grows_by_itself:
    return {"grows_by_itself", "a glue line keeps opening without more draw"};
  }
  return {"", ""};
}
} // namespace

std::string event_words(Event::Kind kind)
{
  return event_name(kind).words;
}

std::string event_key(Event::Kind kind)
{
  return event_name(kind).key;
}

std::string layer_name(const Case &bow_case, const Event &event)
{
  if (event.lamination < 0 && event.glue_line < 0)
    return {};
  HotSpot spot;
  spot.limb = event.limb;
  spot.station = event.station;
  spot.lamination = event.lamination;
  spot.glue_line = event.glue_line;
  return layer_name(bow_case, spot);
}

Measure measure_of(FailureMode mode)
{
  switch (mode)
  {
  case FailureMode::belly_set:
  case FailureMode::belly_crushing:
    return Measure::strain;
  case FailureMode::patch_growth:
  case FailureMode::edge_growth:
    return Measure::energy;
  case FailureMode::interaction:
  case FailureMode::glue_mixed:
  case FailureMode::splinter:
  case FailureMode::slanting_grain:
    return Measure::ratio;
  default:
    return Measure::stress;
  }
}

std::string unit_of(Measure measure)
{
  switch (measure)
  {
  case Measure::stress:
    return "Pa";
  case Measure::energy:
    return "J/m2";
  case Measure::strain:
  case Measure::ratio:
    return "1";
  }
  return {};
}

std::string strength_caution(const Case &bow_case, const HotSpot &spot)
{
  if (const auto *adhesive = adhesive_of(bow_case, spot))
  {
    const double own = spot.mode == FailureMode::glue_peel ? adhesive->tensile_strength : adhesive->shear_strength;
    if (measure_of(spot.mode) == Measure::energy)
      return caution_about(adhesive->title, adhesive->sources, limit_keys(spot.mode, RingOrientation::flat), "fracture energy");
    if (spot.mode == FailureMode::glue_mixed || !(spot.limit < own * (1. - 1e-9)))
      return caution_about(adhesive->title, adhesive->sources, limit_keys(spot.mode, RingOrientation::flat));
    // The limit is that of the weaker layer beside the glue.
    HotSpot beside = spot;
    beside.glue_line = -1;
    beside.mode = spot.mode == FailureMode::glue_peel ? FailureMode::across_tension : FailureMode::shear;
    double nearest = std::numeric_limits<double>::infinity();
    for (const int lamination : {spot.glue_line, back_of_line(bow_case, spot)})
    {
      HotSpot side = beside;
      side.lamination = lamination;
      const auto *material = material_of(bow_case, side);
      if (material == nullptr)
        continue;
      const auto ring = lamination_of(bow_case, side)->ring;
      const double limit =
          spot.mode == FailureMode::glue_peel ? tension_through_thickness(*material, ring) : shear_in_side_view(*material, ring);
      if (std::abs(limit - spot.limit) < nearest)
      {
        nearest = std::abs(limit - spot.limit);
        beside.lamination = lamination;
      }
    }
    return beside.lamination < 0 ? std::string() : strength_caution(bow_case, beside);
  }
  const auto *material = material_of(bow_case, spot);
  if (material == nullptr)
    return {};
  return caution_about(material->title, material->sources, limit_keys(spot.mode, lamination_of(bow_case, spot)->ring));
}
} // namespace limbwright
