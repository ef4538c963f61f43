#include "cases/report/result_tables.h"

#include "cases/report/flaw_words.h"
#include "cases/report/output_units.h"
#include "cases/report/result_fields.h"
#include "cases/report/words.h"

#include <algorithm>
#include <cmath>

namespace limbwright
{
namespace
{
/// A row of the sheet along the limb: a lamination's face or a glue line, with the section it belongs to.
struct AlongRow
{
  LimbName limb = LimbName::upper;
  std::string part;
  std::string face;
  double station = 0.;
  FaceState at_face{};
  GlueState at_glue{};
  double width = not_known, stack = not_known, curvature_change = not_known;
  bool near_end = false;
};

/// Section values at the row's station, linear between the sections known.
void fill_section(AlongRow &row, const std::vector<SectionState> &sections)
{
  if (sections.empty() || row.station < sections.front().station - 1e-9 || row.station > sections.back().station + 1e-9)
    return;
  const auto after = std::find_if(sections.begin(), sections.end(),
                                  [&row](const SectionState &section) { return section.station >= row.station; });
  const auto &right = after == sections.end() ? sections.back() : *after;
  const auto &left = after == sections.begin() || after == sections.end() ? right : *(after - 1);
  const double length = right.station - left.station;
  const double t = length > 0. ? (row.station - left.station) / length : 0.;
  row.width = left.width + t * (right.width - left.width);
  row.stack = left.stack + t * (right.stack - left.stack);
  row.curvature_change = left.curvature_change + t * (right.curvature_change - left.curvature_change);
}

std::vector<AlongRow> along_rows(const Case &bow_case, const DrawResults &results)
{
  std::vector<AlongRow> rows;
  if (results.snapshots.empty())
    return rows;
  FaceState no_face;
  no_face.raw_strain_along = no_face.raw_stress_along = no_face.strain_along = no_face.stress_along = no_face.stress_across =
      no_face.stress_shear = no_face.crushed = not_known;
  GlueState no_glue;
  no_glue.shear = no_glue.peel = no_glue.mean_shear = no_glue.mean_peel = not_known;
  for (const auto &limb : results.snapshots.back().limbs)
  {
    HotSpot names;
    names.limb = limb.limb;
    for (const auto &face : limb.faces)
    {
      names.lamination = face.lamination;
      rows.push_back({limb.limb, layer_name(bow_case, names), face_words(face.face), face.station, face, no_glue, not_known,
                      not_known, not_known, face.near_end});
      fill_section(rows.back(), limb.sections);
    }
    for (const auto &glue : limb.glue)
    {
      names.glue_line = glue.line;
      names.back_lamination = glue.back_lamination;
      rows.push_back({limb.limb, layer_name(bow_case, names), "glue line", glue.station, no_face, glue, not_known, not_known,
                      not_known, glue.near_end});
      fill_section(rows.back(), limb.sections);
    }
  }
  return rows;
}

std::string yes_no(bool value)
{
  return value ? "yes" : "no";
}

/// Largest or smallest of a quantity on one lamination over the run.
struct Extreme
{
  double value = not_known;
  double station = not_known;
  double draw = not_known;
};

template <class Function>
Extreme extreme(const DrawResults &results, LimbName limb, int lamination, double sign, Function quantity)
{
  Extreme found;
  for (const auto &snapshot : results.snapshots)
    for (const auto &state : snapshot.limbs)
      if (state.limb == limb)
        for (const auto &face : state.faces)
          if (face.lamination == lamination && std::isfinite(quantity(face)) &&
              !(sign * quantity(face) <= sign * found.value)) // the first one meets NaN
            found = {quantity(face), face.station, snapshot.point.draw};
  return found;
}
} // namespace

Table draw_table(const std::vector<DrawPoint> &points)
{
  return table_of(draw_fields, points);
}

Table step_table(const DrawPoint &point)
{
  Table table = table_of(draw_fields, {point});
  for (auto &column : table_of(contact_fields, {point}).columns)
    table.columns.push_back(std::move(column));
  return table;
}

Table face_table(const std::vector<FaceState> &faces)
{
  Table table = table_of(face_fields, faces);
  table.columns.push_back(word_column("face", faces, [](const FaceState &f) { return face_words(f.face); }));
  return table;
}

Table glue_table(const std::vector<GlueState> &glue)
{
  Table table = table_of(glue_fields, glue);
  table.columns.push_back(number_column(
      "back_lamination", "", glue, [](const GlueState &g) { return g.back_lamination < 0 ? g.line + 1 : g.back_lamination; }));
  return table;
}

Table section_table(const std::vector<SectionState> &sections)
{
  return table_of(section_fields, sections);
}

Table event_table(const std::vector<Event> &events)
{
  Table table = table_of(event_fields, events);
  table.columns.push_back(word_column("what", events, [](const Event &e) { return event_key(e.kind); }));
  table.columns.push_back(word_column("limb", events, [](const Event &e) { return limb_key(e.limb); }));
  table.columns.push_back(word_column("mode", events, [](const Event &e) { return mode_key(e.mode); }));
  return table;
}

Table sideways_table(const std::vector<SidewaysHold> &holds)
{
  Table table = table_of(sideways_fields, holds);
  table.columns.push_back(word_column("stage", holds, [](const SidewaysHold &hold) { return hold.stage; }));
  return table;
}

Table hot_spot_table(const Case &bow_case, const std::vector<HotSpot> &spots)
{
  const auto told_as = [](const HotSpot &s, Measure measure, double value)
  { return measure_of(s.mode) == measure ? value : not_known; };
  return {
      {word_column("limb", spots, [](const HotSpot &s) { return limb_key(s.limb); }),
       number_column("station", "m", spots, [](const HotSpot &s) { return s.station; }),
       number_column("across", "1", spots, [](const HotSpot &s) { return s.across; }),
       word_column("layer", spots, [&bow_case](const HotSpot &s) { return layer_name(bow_case, s); }),
       number_column("lamination", "", spots, [](const HotSpot &s) { return s.lamination; }),
       number_column("glue_line", "", spots, [](const HotSpot &s) { return s.glue_line; }),
       number_column("back_lamination", "", spots, [](const HotSpot &s) { return s.back_lamination; }),
       word_column("face", spots, [](const HotSpot &s) { return face_words(s.face); }),
       word_column("mode", spots, [](const HotSpot &s) { return mode_key(s.mode); }),
       number_column("index", "1", spots, [](const HotSpot &s) { return s.index; }),
       number_column("stress", "Pa", spots, [&](const HotSpot &s) { return told_as(s, Measure::stress, s.value); }),
       number_column("stress_limit", "Pa", spots, [&](const HotSpot &s) { return told_as(s, Measure::stress, s.limit); }),
       number_column("strain", "1", spots, [&](const HotSpot &s) { return told_as(s, Measure::strain, s.value); }),
       number_column("strain_limit", "1", spots, [&](const HotSpot &s) { return told_as(s, Measure::strain, s.limit); }),
       number_column("energy_per_area", "J/m2", spots, [&](const HotSpot &s) { return told_as(s, Measure::energy, s.value); }),
       number_column("energy_per_area_limit", "J/m2", spots,
                     [&](const HotSpot &s) { return told_as(s, Measure::energy, s.limit); }),
       number_column("draw_at_index_1", "m", spots, [](const HotSpot &s) { return s.draw_at_one.value_or(not_known); }),
       number_column("averaged", "", spots, [](const HotSpot &s) { return s.averaged ? 1. : 0.; }),
       word_column("note", spots, [](const HotSpot &s) { return s.note; })}};
}

Table patch_end_table(const std::vector<PatchEnd> &ends)
{
  Table table = table_of(patch_end_fields, ends);
  table.columns.push_back(number_column("index", "1", ends, [](const PatchEnd &e) { return e.index(); }));
  return table;
}

Table flaw_table(const std::vector<FlawDifference> &flaws)
{
  using Row = FlawDifference;
  return {{word_column("limb", flaws, [](const Row &f) { return limb_key(f.limb); }),
           word_column("kind", flaws, [](const Row &f) { return flaw_key(f.flaw.kind); }),
           number_column("number", "", flaws, [](const Row &f) { return f.flaw.number; }),
           number_column("lamination", "", flaws, [](const Row &f) { return f.flaw.lamination; }),
           number_column("glue_line", "", flaws, [](const Row &f) { return f.flaw.glue_line; }),
           number_column("from", "m", flaws, [](const Row &f) { return f.flaw.from; }),
           number_column("to", "m", flaws, [](const Row &f) { return f.flaw.to; }),
           number_column("beside", "m", flaws, [](const Row &f) { return f.flaw.beside; }),
           number_column("bend_ratio", "1", flaws, [](const Row &f) { return f.bend_ratio; }),
           number_column("bend_station", "m", flaws, [](const Row &f) { return f.bend_station; })}};
}

Table cycle_table(const std::vector<DrawCycle> &cycles)
{
  return table_of(cycle_fields, cycles);
}

Table extreme_table(const Case &bow_case, const DrawResults &results, LimbName limb)
{
  const auto &laminations = limb_of(bow_case, limb).laminations;
  Table table{{word_column("lamination", laminations, [](const LaminationDescription &l) { return l.name; }),
               word_column("material", laminations, [](const LaminationDescription &l) { return l.material; })}};
  const auto add = [&](const std::string &name, const std::string &unit, double sign, auto quantity)
  {
    std::vector<Extreme> rows;
    for (std::size_t i = 0; i < laminations.size(); ++i)
      rows.push_back(extreme(results, limb, static_cast<int>(i), sign, quantity));
    table.columns.push_back(number_column(name, unit, rows, [](const Extreme &e) { return e.value; }));
    table.columns.push_back(number_column(name + "_station", "m", rows, [](const Extreme &e) { return e.station; }));
    table.columns.push_back(number_column(name + "_draw", "m", rows, [](const Extreme &e) { return e.draw; }));
  };
  const auto strain = [](const FaceState &f) { return f.strain_along; };
  const auto stress = [](const FaceState &f) { return f.stress_along; };
  add("largest_strain_along", "1", 1., strain);
  add("smallest_strain_along", "1", -1., strain);
  add("largest_stress_along", "Pa", 1., stress);
  add("smallest_stress_along", "Pa", -1., stress);
  return table;
}

Table draw_curve_sheet(const Case &bow_case, const DrawResults &results)
{
  const auto &points = results.draw_curve;
  const double offset = convention_offset(bow_case);
  const auto draw_told = [offset](const DrawPoint &p) { return p.draw + offset; };
  const auto force = [](const DrawPoint &p) { return p.force; };
  const auto stiffness = [](const DrawPoint &p) { return p.stiffness; };
  const auto tension = [](const DrawPoint &p) { return p.tension; };
  const auto tension_lower = [](const DrawPoint &p) { return p.tension_lower; };
  const auto height = [](const DrawPoint &p) { return p.nocking_height; };
  const auto work = [](const DrawPoint &p) { return p.work; };
  const auto contact = [](const DrawPoint &p) { return p.contact_length; };
  const auto contact_lower = [](const DrawPoint &p) { return p.contact_length_lower; };
  return {{number_column("draw_length", "in", points, draw_told, inch),
           number_column("draw_length", "mm", points, draw_told, millimetre),
           number_column(
               "pivot_to_nocking_point", "in", points, [](const DrawPoint &p) { return p.draw; }, inch),
           number_column(
               "pivot_to_nocking_point", "mm", points, [](const DrawPoint &p) { return p.draw; }, millimetre),
           number_column("force", "lb", points, force, pound_force),
           number_column("force", "N", points, force),
           number_column("rise", "lb/in", points, stiffness, pound_force / inch),
           number_column("rise", "N/m", points, stiffness),
           number_column("string_tension", "lb", points, tension, pound_force),
           number_column("string_tension", "N", points, tension),
           number_column(
               "string_angle", "deg", points, [](const DrawPoint &p) { return p.string_angle; }, degree),
           number_column("work", "ft_lb", points, work, foot_pound),
           number_column("work", "J", points, work),
           number_column("strain_energy", "J", points, [](const DrawPoint &p) { return p.strain_energy; }),
           number_column("dissipated", "J", points, [](const DrawPoint &p) { return p.dissipated; }),
           number_column(
               "tip_x", "mm", points, [](const DrawPoint &p) { return p.tip_x; }, millimetre),
           number_column(
               "tip_y", "mm", points, [](const DrawPoint &p) { return p.tip_y; }, millimetre),
           number_column(
               "tip_angle", "deg", points, [](const DrawPoint &p) { return p.tip_angle; }, degree),
           number_column("string_tension_lower", "lb", points, tension_lower, pound_force),
           number_column("string_tension_lower", "N", points, tension_lower),
           number_column("nocking_height", "in", points, height, inch),
           number_column("nocking_height", "mm", points, height, millimetre),
           number_column(
               "handle_turn", "deg", points, [](const DrawPoint &p) { return p.handle_turn; }, degree),
           number_column("string_on_limb", "in", points, contact, inch),
           number_column("string_on_limb", "mm", points, contact, millimetre),
           number_column("string_on_limb_lower", "in", points, contact_lower, inch),
           number_column("string_on_limb_lower", "mm", points, contact_lower, millimetre)}};
}

Table along_limb_sheet(const Case &bow_case, const DrawResults &results)
{
  const auto rows = along_rows(bow_case, results);
  const auto station = [](const AlongRow &r) { return r.station; };
  const auto stress = [](const AlongRow &r) { return r.at_face.stress_along; };
  const auto shear = [](const AlongRow &r) { return r.at_glue.shear; };
  const auto peel = [](const AlongRow &r) { return r.at_glue.peel; };
  return {{word_column("limb", rows, [&](const AlongRow &r) { return results.symmetric ? "either" : limb_key(r.limb); }),
           number_column("station", "in", rows, station, inch),
           number_column("station", "mm", rows, station, millimetre),
           word_column("layer", rows, [](const AlongRow &r) { return r.part; }),
           word_column("face", rows, [](const AlongRow &r) { return r.face; }),
           number_column(
               "strain_along", "%", rows, [](const AlongRow &r) { return r.at_face.strain_along; }, percent),
           number_column("stress_along", "ksi", rows, stress, ksi),
           number_column("stress_along", "MPa", rows, stress, megapascal),
           number_column(
               "raw_strain_along", "%", rows, [](const AlongRow &r) { return r.at_face.raw_strain_along; }, percent),
           number_column(
               "raw_stress_along", "MPa", rows, [](const AlongRow &r) { return r.at_face.raw_stress_along; }, megapascal),
           number_column(
               "stress_across", "MPa", rows, [](const AlongRow &r) { return r.at_face.stress_across; }, megapascal),
           number_column(
               "stress_shear", "MPa", rows, [](const AlongRow &r) { return r.at_face.stress_shear; }, megapascal),
           number_column(
               "plastic_shortening", "%", rows, [](const AlongRow &r) { return r.at_face.crushed; }, percent),
           number_column("glue_shear", "psi", rows, shear, psi),
           number_column("glue_shear", "MPa", rows, shear, megapascal),
           number_column("glue_peel", "psi", rows, peel, psi),
           number_column("glue_peel", "MPa", rows, peel, megapascal),
           number_column(
               "glue_mean_shear", "MPa", rows, [](const AlongRow &r) { return r.at_glue.mean_shear; }, megapascal),
           number_column(
               "glue_mean_peel", "MPa", rows, [](const AlongRow &r) { return r.at_glue.mean_peel; }, megapascal),
           number_column(
               "curvature_change", "1/in", rows, [](const AlongRow &r) { return r.curvature_change; }, 1. / inch),
           number_column("curvature_change", "1/m", rows, [](const AlongRow &r) { return r.curvature_change; }),
           number_column(
               "width", "in", rows, [](const AlongRow &r) { return r.width; }, inch),
           number_column(
               "stack", "in", rows, [](const AlongRow &r) { return r.stack; }, inch),
           word_column("near_end", rows, [](const AlongRow &r) { return yes_no(r.near_end); })}};
}
} // namespace limbwright
