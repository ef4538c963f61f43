#include "cases/study/margin_map.h"

#include "cases/report/output_units.h"
#include "cases/report/words.h"
#include "cases/study/grain_around_knot.h"
#include "cases/study/section_bending.h"
#include "cases/study/sizing.h"
#include "materials/bond_strength.h"
#include "meshing/shape/mending.h"
#include "solver/failure/indices.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <stdexcept>

namespace limbwright
{
namespace
{
/// The greatest size, up to `most`, at which an index that rises with it has not passed a level; nothing when it never does.
double largest(double most, double level, const std::function<double(double)> &index)
{
  if (index(0.) > level)
    return 0.;
  if (index(most) <= level)
    return not_known;
  double low = 0., high = most;
  // It may rise and fall again: the first passing counts.
  constexpr int n_steps = 90;
  for (int i = 1; i <= n_steps; ++i)
    if (const double size = most * i / n_steps; index(size) > level)
    {
      high = size;
      break;
    }
    else
      low = size;
  for (int i = 0; i < 30; ++i)
    (index(0.5 * (low + high)) > level ? high : low) = 0.5 * (low + high);
  return low;
}

/// The smaller of two, either of which may not be known.
bool lower(double &least, double value)
{
  if (std::isnan(value) || least <= value)
    return false;
  least = value;
  return true;
}

/// One limb at full draw.
struct Drawn
{
  const LimbShape shape;
  const LimbSnapshot &snapshot;
  const BowDescription &bow; // in use
  double level;
  bool wood_yields;

  const LaminationDescription &lamination(int i) const { return shape.description().laminations[static_cast<std::size_t>(i)]; }
  const Material &material(int i) const { return bow.materials.at(lamination(i).material); }
  std::optional<CrushingLaw> law(int i) const { return wood_yields ? crushing_law(material(i)) : std::nullopt; }
  bool wood(int i) const { return material(i).kind == MaterialKind::wood || material(i).kind == MaterialKind::bamboo; }
  const Adhesive *adhesive(int line) const
  {
    const auto found = bow.adhesives.find(shape.description().glue[static_cast<std::size_t>(line)].adhesive);
    return found == bow.adhesives.end() ? nullptr : &found->second;
  }
};

void take_face(const Drawn &drawn, const FaceState &face, InchMargin &margin, double &around_knot)
{
  const Material &material = drawn.material(face.lamination);
  const RingOrientation ring = drawn.lamination(face.lamination).ring;
  const double index = run_out_index(material, ring, face, 0.);
  margin.index = std::max(margin.index, index);
  if (!drawn.wood(face.lamination))
    return;
  lower(margin.run_out,
        largest(45. * degree, drawn.level, [&](double angle) { return run_out_index(material, ring, face, angle); }));
  around_knot = std::max(around_knot, index_around_knot(material, ring, drawn.law(face.lamination), face));
}

/// The section nearest to a station.
const SectionState &section_at(const Drawn &drawn, double station)
{
  const auto &all = drawn.snapshot.sections;
  return *std::min_element(all.begin(), all.end(),
                           [station](const SectionState &a, const SectionState &b)
                           { return std::abs(a.station - station) < std::abs(b.station - station); });
}

/// The largest share of the width at which an index that rises with it has not passed a level; its index at nothing has not.
double largest_share(double level, const std::function<double(double)> &index)
{
  double low = 0., high = 0.98;
  for (int k = 0; k < 12; ++k)
    (index(0.5 * (low + high)) > level ? high : low) = 0.5 * (low + high);
  return low;
}

/// Knot and hole, for an inch whose worst index is known. around_knot: [1] the same beside a knot too small to weaken the
/// section.
void take_knot(const Drawn &drawn, double around_knot, InchMargin &margin)
{
  const auto i = static_cast<std::size_t>(margin.lamination);
  const SectionState &section = section_at(drawn, std::clamp(margin.station, drawn.shape.start(i), drawn.shape.end(i)));
  if (!drawn.wood(margin.lamination) || !drawn.shape.present(i, section.station))
    return;
  const Material &material = drawn.material(margin.lamination);
  const RingOrientation ring = drawn.lamination(margin.lamination).ring;
  const BendingSection fibres(drawn.shape, drawn.bow.materials, drawn.wood_yields, section.station);
  const auto strains_more = [&](double taken) { return fibres.strains_more(section.curvature_change, i, taken); };
  const auto allowed = [&](double without, const std::function<double(double)> &taken)
  {
    return without > drawn.level
               ? 0.
               : largest_share(drawn.level, [&](double share) { return knot_index(without, share, strains_more(taken(share))); });
  };
  margin.hole_share = allowed(margin.index, [](double share) { return share; });
  margin.knot_share = allowed(std::max(margin.index, around_knot),
                              [&](double share) { return stiffness_taken(material.constants, ring, share); });
  const double width = drawn.shape.width(section.station, drawn.shape.back_face_depth(i, section.station));
  margin.hole = margin.hole_share * width;
  margin.knot = margin.knot_share * width;
}

/// Mean shortening of the part of the stack on one side of a glue line [1]: of its two outermost faces.
double shortening_of_part(const Drawn &drawn, const GlueState &glue, bool back_part)
{
  double sum = 0.;
  int n = 0;
  const int inner = back_part ? glue.back_lamination : glue.line;
  int outer = inner;
  for (std::size_t i = 0; i < drawn.shape.n_laminations(); ++i)
    if (drawn.shape.present(i, glue.station))
      outer = back_part ? std::max(outer, static_cast<int>(i)) : std::min(outer, static_cast<int>(i));
  for (const auto &[lamination, side] :
       {std::pair{inner, back_part ? Face::belly : Face::back}, {outer, back_part ? Face::back : Face::belly}})
  {
    const FaceState *nearest = nullptr;
    for (const FaceState &face : drawn.snapshot.faces)
      if (face.lamination == lamination && face.face == side &&
          (nearest == nullptr || std::abs(face.station - glue.station) < std::abs(nearest->station - glue.station)))
        nearest = &face;
    if (nearest != nullptr)
    {
      sum -= nearest->strain_along;
      ++n;
    }
  }
  return n > 0 ? sum / n : 0.;
}

void take_glue(const Drawn &drawn, const GlueState &glue, InchMargin &margin)
{
  const Adhesive *adhesive = drawn.adhesive(glue.line);
  if (adhesive == nullptr)
    return;
  const auto &belly = drawn.material(glue.line), &back = drawn.material(glue.back_lamination);
  const RingOrientation belly_ring = drawn.lamination(glue.line).ring, back_ring = drawn.lamination(glue.back_lamination).ring;
  double index = 0.;
  for (const ModeIndex &mode :
       glue_indices(bond_strength(*adhesive, belly, belly_ring, back, back_ring), glue.mean_peel, glue.mean_shear))
    index = std::max(index, mode.index);
  margin.index = std::max(margin.index, index);
  margin.bond = std::isnan(margin.bond) ? index / drawn.level : std::max(margin.bond, index / drawn.level);
  const BondToughness toughness = bond_toughness(*adhesive, belly, back);
  if (std::isnan(toughness.opening) || std::isnan(toughness.sliding))
    return;
  const PartedStack parts = parted_stack(drawn.shape, drawn.bow.materials, adhesive, glue.line, glue.station);
  const std::array<double, 2> shortening{shortening_of_part(drawn, glue, false), shortening_of_part(drawn, glue, true)};
  const double hollow =
      section_at(drawn, glue.station).curvature_change - drawn.shape.description().profile.lean.slope(glue.station);
  // The hardest shear that a patch about here would lie on, past the ends of what lies on the back as well.
  const auto shear = [&](double length)
  {
    double most = std::abs(glue.mean_shear);
    for (const GlueState &other : drawn.snapshot.glue)
      if (other.line == glue.line && !other.near_end && std::abs(other.station - glue.station) <= 0.5 * length)
        most = std::max(most, std::abs(other.mean_shear));
    return most;
  };
  if (lower(margin.patch, largest(0.5 * drawn.shape.length(), drawn.level,
                                  [&](double length) {
                                    return patch_index(parts, toughness, shear(length), shortening, hollow, usual_gap, length);
                                  })))
    margin.lifts = patch_index(parts, toughness, 0., shortening, hollow, usual_gap, margin.patch) > 0.5 * drawn.level;
}

/// The inch that a station counts to.
double whole_inch(double station)
{
  return std::round(station / inch) * inch;
}
} // namespace

MarginMap margin_map(const Case &described, double level, const std::atomic<bool> *stop)
{
  MarginMap map;
  map.level = level;
  Case bow_case = described;
  bow_case.bow.upper = sound(bow_case.bow.upper);
  if (bow_case.bow.lower)
    bow_case.bow.lower = sound(*bow_case.bow.lower);
  const DrawResults results = draw_quickly(bow_case, false, stop);
  map.complete = results.complete && !results.snapshots.empty();
  if (!map.complete)
  {
    map.reason = results.reason;
    return map;
  }
  const BowInUse in_use = bow_in_use(bow_case);
  for (const LimbSnapshot &snapshot : results.snapshots.back().limbs)
  {
    const LimbDescription &limb = snapshot.limb == LimbName::lower && in_use.bow.lower ? *in_use.bow.lower : in_use.bow.upper;
    const Drawn drawn{LimbShape(limb), snapshot, in_use.bow, level, bow_case.solve.wood_yields};
    // By layer: laminations by their number, each before the glue line on its back; by what lies on that line's back; by inch.
    std::map<std::array<int, 3>, InchMargin> found;
    std::map<const InchMargin *, double> around_knot; // of laminations
    const auto at = [&](int lamination, int line, int back, double station) -> InchMargin &
    {
      const double here = whole_inch(station);
      InchMargin &margin =
          found[{lamination >= 0 ? 2 * lamination : 2 * line + 1, back, static_cast<int>(std::lround(here / inch))}];
      margin.limb = snapshot.limb;
      margin.station = here;
      margin.lamination = lamination;
      margin.glue_line = line;
      margin.back_lamination = back;
      return margin;
    };
    const auto near_load = [&](double station)
    {
      const double reach = drawn.shape.stack(station);
      return station < limb.root_station + reach || std::abs(station - limb.nock.station) < reach;
    };
    for (const FaceState &face : snapshot.faces)
      if (!face.near_end && !near_load(face.station))
      {
        InchMargin &margin = at(face.lamination, -1, -1, face.station);
        take_face(drawn, face, margin, around_knot[&margin]);
      }
    for (const GlueState &glue : snapshot.glue)
      if (!glue.near_end && !near_load(glue.station) && !limb.glue[static_cast<std::size_t>(glue.line)].of_split)
        take_glue(drawn, glue, at(-1, glue.line, glue.back_lamination, glue.station));
    for (auto &[place, margin] : found)
    {
      if (margin.lamination >= 0)
        take_knot(drawn, around_knot[&margin], margin);
      map.inches.push_back(margin);
    }
  }
  return map;
}
} // namespace limbwright
