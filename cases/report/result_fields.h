#pragma once

#include "cases/report/table.h"
#include "solver/results.h"

#include <cmath>
#include <stdexcept>
#include <string>
#include <type_traits>
#include <variant>
#include <vector>

namespace limbwright
{
/// A number of a row of results and the column that holds it, in SI: one list serves writing and reading back.
template <class Row>
struct ResultField
{
  const char *name, *unit;
  std::variant<double Row::*, int Row::*, bool Row::*> member;
};

inline const std::vector<ResultField<DrawPoint>> draw_fields = {{"draw", "m", &DrawPoint::draw},
                                                                {"force", "N", &DrawPoint::force},
                                                                {"stiffness", "N/m", &DrawPoint::stiffness},
                                                                {"tension", "N", &DrawPoint::tension},
                                                                {"string_angle", "rad", &DrawPoint::string_angle},
                                                                {"work", "J", &DrawPoint::work},
                                                                {"strain_energy", "J", &DrawPoint::strain_energy},
                                                                {"dissipated", "J", &DrawPoint::dissipated},
                                                                {"tip_x", "m", &DrawPoint::tip_x},
                                                                {"tip_y", "m", &DrawPoint::tip_y},
                                                                {"tip_angle", "rad", &DrawPoint::tip_angle},
                                                                {"tension_lower", "N", &DrawPoint::tension_lower},
                                                                {"nocking_height", "m", &DrawPoint::nocking_height},
                                                                {"handle_turn", "rad", &DrawPoint::handle_turn}};

/// Where the string lies on a limb: known at solved steps only.
inline const std::vector<ResultField<DrawPoint>> contact_fields = {
    {"contact_length", "m", &DrawPoint::contact_length},
    {"lift_off_station", "m", &DrawPoint::lift_off_station},
    {"contact_length_lower", "m", &DrawPoint::contact_length_lower},
    {"lift_off_station_lower", "m", &DrawPoint::lift_off_station_lower}};

/// And the word "face".
inline const std::vector<ResultField<FaceState>> face_fields = {{"station", "m", &FaceState::station},
                                                                {"lamination", "", &FaceState::lamination},
                                                                {"strain_along", "1", &FaceState::strain_along},
                                                                {"stress_along", "Pa", &FaceState::stress_along},
                                                                {"stress_across", "Pa", &FaceState::stress_across},
                                                                {"stress_shear", "Pa", &FaceState::stress_shear},
                                                                {"near_end", "", &FaceState::near_end},
                                                                {"crushed", "1", &FaceState::crushed},
                                                                {"raw_strain_along", "1", &FaceState::raw_strain_along},
                                                                {"raw_stress_along", "Pa", &FaceState::raw_stress_along},
                                                                {"structural", "", &FaceState::structural}};

/// And back_lamination, which is never left out in a file.
inline const std::vector<ResultField<GlueState>> glue_fields = {
    {"station", "m", &GlueState::station},      {"line", "", &GlueState::line},
    {"thickness", "m", &GlueState::thickness},  {"shear", "Pa", &GlueState::shear},
    {"peel", "Pa", &GlueState::peel},           {"mean_shear", "Pa", &GlueState::mean_shear},
    {"mean_peel", "Pa", &GlueState::mean_peel}, {"near_end", "", &GlueState::near_end},
    {"parted", "1", &GlueState::parted},        {"lift", "1", &GlueState::lift}};

/// Of ends of patches and of free edges. And the index, which follows from the others.
inline const std::vector<ResultField<PatchEnd>> patch_end_fields = {
    {"station", "m", &PatchEnd::station},           {"line", "", &PatchEnd::line},
    {"toward_tip", "", &PatchEnd::toward_tip},      {"opening", "J/m2", &PatchEnd::opening},
    {"sliding", "J/m2", &PatchEnd::sliding},        {"toughness", "J/m2", &PatchEnd::toughness},
    {"process_zone", "m", &PatchEnd::process_zone}, {"across", "1", &PatchEnd::across},
    {"sideways", "", &PatchEnd::sideways},          {"back_lamination", "", &PatchEnd::back_lamination}};

inline const std::vector<ResultField<SectionState>> section_fields = {
    {"station", "m", &SectionState::station},
    {"width", "m", &SectionState::width},
    {"stack", "m", &SectionState::stack},
    {"curvature_change", "1/m", &SectionState::curvature_change},
    {"axis_strain", "1", &SectionState::axis_strain},
    {"fit_belly_strain", "1", &SectionState::fit_belly_strain},
    {"fit_back_strain", "1", &SectionState::fit_back_strain},
    {"yielded_share", "1", &SectionState::yielded_share},
    {"x", "m", &SectionState::x},
    {"y", "m", &SectionState::y},
    {"drift", "m", &SectionState::drift},
    {"twist", "rad", &SectionState::twist}};

inline const std::vector<ResultField<DrawCycle>> cycle_fields = {
    {"draw_weight", "N", &DrawCycle::draw_weight},     {"work", "J", &DrawCycle::work},
    {"returned", "J", &DrawCycle::returned},           {"brace_height", "m", &DrawCycle::brace_height},
    {"brace_tension", "N", &DrawCycle::brace_tension}, {"parted", "m", &DrawCycle::parted}};

/// And the word "stage".
inline const std::vector<ResultField<SidewaysHold>> sideways_fields = {{"stiffness", "N/m", &SidewaysHold::stiffness},
                                                                       {"critical_factor", "1", &SidewaysHold::critical_factor},
                                                                       {"share_across", "1", &SidewaysHold::share_across}};

/// The numbers of a bow drawn beside.
struct FlawCostFigure
{
  const char *name, *unit;
  double FlawCost::*member;
};
inline const std::vector<FlawCostFigure> flaw_cost_figures = {{"draw", "m", &FlawCost::draw},
                                                              {"weight_with", "N", &FlawCost::weight_with},
                                                              {"weight_without", "N", &FlawCost::weight_without},
                                                              {"energy_with", "J", &FlawCost::energy_with},
                                                              {"energy_without", "J", &FlawCost::energy_without},
                                                              {"set_with", "m", &FlawCost::set_with},
                                                              {"set_without", "m", &FlawCost::set_without}};

/// And the words "what", "limb" and "mode".
inline const std::vector<ResultField<Event>> event_fields = {{"draw", "m", &Event::draw},
                                                             {"braced", "", &Event::braced},
                                                             {"station", "m", &Event::station},
                                                             {"lamination", "", &Event::lamination},
                                                             {"glue_line", "", &Event::glue_line}};

/// One column for each field.
template <class Row>
Table table_of(const std::vector<ResultField<Row>> &fields, const std::vector<Row> &rows)
{
  Table table;
  for (const auto &field : fields)
    table.columns.push_back(
        std::visit([&](auto member)
                   { return number_column(field.name, field.unit, rows, [member](const Row &row) { return row.*member; }); },
                   field.member));
  return table;
}

/// A whole number as a file holds it. Throws std::runtime_error where it is none.
inline int whole_number(double value, const char *what)
{
  if (!(std::abs(value) < 1e9) || value != std::floor(value))
    throw std::runtime_error(std::string("'") + what + "' has a value that is not a whole number");
  return static_cast<int>(value);
}

/// A number as a file holds it; one that is not known only where that may be. Throws std::runtime_error.
inline double stored_number(double value, const char *what, bool may_be_unknown)
{
  if (!std::isfinite(value) && !(may_be_unknown && std::isnan(value)))
    throw std::runtime_error(std::string("'") + what + "' has a value that is not a number");
  return value;
}

/// Sets one member of every row; rows are added as the column needs. What is not known in a new row may be unknown. Throws
/// std::runtime_error where columns differ in length, and where a value is none of its member's kind.
template <class Row>
void fill(std::vector<Row> &rows, const ResultField<Row> &field, const std::vector<double> &column)
{
  if (rows.empty())
    rows.resize(column.size());
  if (rows.size() != column.size())
    throw std::runtime_error(std::string("a column '") + field.name + "' is longer or shorter than the ones before it");
  const auto set = [&](auto member)
  {
    const Row fresh{};
    using Value = std::remove_const_t<std::remove_reference_t<decltype(fresh.*member)>>;
    for (std::size_t i = 0; i < rows.size(); ++i)
      if constexpr (std::is_same_v<Value, double>)
        rows[i].*member = stored_number(column[i], field.name, std::isnan(fresh.*member));
      else
        rows[i].*member = static_cast<Value>(whole_number(column[i], field.name));
  };
  std::visit(set, field.member);
}
} // namespace limbwright
