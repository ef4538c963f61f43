#include "solver/fields/limb_fields.h"

#include "meshing/mesh/limb_mesh.h"
#include "solver/fields/vtu_writer.h"

#include <algorithm>
#include <cmath>
#include <map>

namespace limbwright
{
namespace
{
// VTK's order of the nine nodes of a biquadratic quadrilateral, as lexicographic numbers.
constexpr int vtk_quad9[9] = {0, 2, 8, 6, 1, 5, 7, 3, 4};

const std::vector<std::pair<FailureMode, std::string>> index_fields = {
    {FailureMode::tension_along, "index tension along grain"},
    {FailureMode::compression_along, "index compression along grain"},
    {FailureMode::across_tension, "index tension across grain"},
    {FailureMode::across_compression, "index compression across grain"},
    {FailureMode::shear, "index shear"},
    {FailureMode::interaction, "index Tsai-Wu"},
    {FailureMode::belly_set, "index set (belly strain over crushing strength strain)"},
    {FailureMode::belly_crushing, "index crushing (belly strain over bending strength strain)"},
    {FailureMode::splinter, "index splinter lifting"},
    {FailureMode::slanting_grain, "index break across slanting grain (Norris)"},
    {FailureMode::knot_cracks, "index knot pulled apart"}};

FieldArray scalar(const std::string &name, const std::string &unit, std::vector<double> values, bool on_cells = false,
                  bool integer = false)
{
  return {name, unit, 1, std::move(values), on_cells, integer};
}
} // namespace

std::vector<std::string> write_limb_fields(const std::filesystem::path &folder, const std::string &stem,
                                           const LayeredSolid<2> &solid, const LimbJudge &judge, const NodalFields &fields,
                                           const Eigen::VectorXd &u, bool mirrored)
{
  const double flip = mirrored ? -1. : 1.;
  const auto &nodes = solid.nodes();
  const std::size_t n = nodes.size();
  const auto &laminations = solid.shape().description().laminations;

  FieldMesh mesh;
  mesh.cell = FieldMesh::Cell::quad9;
  std::vector<double> displacement, grain, station, depth, near_end, knot_share, greatest_turn;
  std::vector<std::vector<double>> tensors(12, std::vector<double>(n));
  std::map<FailureMode, std::vector<double>> indices;
  for (const auto &[mode, name] : index_fields)
    indices[mode].assign(n, 0.);
  for (std::size_t i = 0; i < n; ++i)
  {
    const auto &node = nodes[i];
    mesh.points.push_back({node.place[0], flip * node.place[1], 0.});
    displacement.insert(displacement.end(), {u[2 * i], flip * u[2 * i + 1], 0.});
    const double lean = solid.shape().grain_lean(node.lamination, node.station);
    const Eigen::Vector2d L(std::sin(lean), std::cos(lean)), N(L.y(), -L.x());
    const double local = lean + solid.shape().mean_grain_turn(node.lamination, node.station, node.depth).dive;
    grain.insert(grain.end(), {std::sin(local), flip * std::cos(local), 0.});
    double knots = 0., turned = 0.;
    if (const auto *weak = solid.weak_parts_at(static_cast<int>(i)))
    {
      for (const WeakPart &part : *weak)
        (part.strip.knot >= 0 ? knots : turned) =
            part.strip.knot >= 0 ? knots + part.strip.share : std::max(turned, part.strip.grain.angle());
    }
    knot_share.push_back(knots);
    greatest_turn.push_back(turned / M_PI * 180.);
    station.push_back(node.station / 0.0254);
    depth.push_back(node.depth);
    near_end.push_back(solid.mesh().near_end(node.station) ? 1. : 0.);

    // Grain axes, and the same tensors turned into the bow's axes.
    const Eigen::Vector3d &e = fields.strain[i], &s = fields.stress[i];
    Eigen::Matrix2d axes, strain, stress;
    axes << L.x(), N.x(), flip * L.y(), flip * N.y();
    strain << e[0], 0.5 * e[2], 0.5 * e[2], e[1];
    stress << s[0], s[2], s[2], s[1];
    const Eigen::Matrix2d strain_bow = axes * strain * axes.transpose(), stress_bow = axes * stress * axes.transpose();
    const double values[12] = {e[0],
                               e[1],
                               e[2],
                               s[0],
                               s[1],
                               s[2],
                               strain_bow(0, 0),
                               strain_bow(1, 1),
                               2. * strain_bow(0, 1),
                               stress_bow(0, 0),
                               stress_bow(1, 1),
                               stress_bow(0, 1)};
    for (int k = 0; k < 12; ++k)
      tensors[k][i] = values[k];
    for (const auto &[mode, note] : judge.indices_at(static_cast<int>(i), e, s, fields.crushed[i]))
      indices[mode.mode][i] = std::max(indices[mode.mode][i], mode.index);
  }
  std::vector<double> layer, column;
  for (const auto &cell : solid.cells())
  {
    std::vector<int> connectivity;
    for (const int k : vtk_quad9)
      connectivity.push_back(cell.nodes[k]);
    if (mirrored) // keeps the cells' area positive
      for (const auto &[a, b] : {std::pair{0, 1}, {3, 2}, {7, 5}})
        std::swap(connectivity[a], connectivity[b]);
    mesh.cells.push_back(connectivity);
    layer.push_back(cell.lamination);
    column.push_back(cell.column);
  }

  std::vector<FieldArray> arrays;
  arrays.push_back({"displacement", "m", 3, displacement, false, false});
  arrays.push_back({"grain direction", "1", 3, grain, false, false});
  static const std::pair<const char *, const char *> names[12] = {{"strain along grain", "1"},
                                                                  {"strain through thickness", "1"},
                                                                  {"shear strain on grain plane", "1"},
                                                                  {"stress along grain", "Pa"},
                                                                  {"stress through thickness", "Pa"},
                                                                  {"shear stress on grain plane", "Pa"},
                                                                  {"strain xx", "1"},
                                                                  {"strain yy", "1"},
                                                                  {"shear strain xy", "1"},
                                                                  {"stress xx", "Pa"},
                                                                  {"stress yy", "Pa"},
                                                                  {"stress xy", "Pa"}};
  for (int k = 0; k < 12; ++k)
    arrays.push_back(scalar(names[k].first, names[k].second, tensors[k]));
  arrays.push_back(scalar("plastic shortening along grain", "1", fields.crushed));
  for (const auto &[mode, name] : index_fields)
    arrays.push_back(scalar(name, "1", indices[mode]));
  arrays.push_back(scalar("share of the width in knots", "1", knot_share));
  arrays.push_back(scalar("greatest turn of the grain across the width", "deg", greatest_turn));
  arrays.push_back(scalar("station along back", "in", station));
  arrays.push_back(scalar("depth below back", "m", depth));
  arrays.push_back(scalar("near an end, raw value", "", near_end, false, true));
  arrays.push_back(scalar("layer from belly", "", layer, true, true));
  std::vector<std::string> material_names; // numbered in the order of the lay-up
  std::vector<double> material;
  for (const auto &cell : solid.cells())
  {
    const std::string &name = laminations[cell.lamination].material;
    auto found = std::find(material_names.begin(), material_names.end(), name);
    if (found == material_names.end())
      found = material_names.insert(material_names.end(), name);
    material.push_back(static_cast<double>(found - material_names.begin()));
  }
  arrays.push_back(scalar("material", "", material, true, true));
  write_vtu(folder / (stem + ".vtu"), mesh, arrays);

  FieldMesh lines;
  lines.cell = FieldMesh::Cell::line3;
  std::vector<double> line_displacement, peel, shear, opening, slip, thickness, line_station, glue_line, index_shear, index_peel,
      parted;
  for (const auto &element : solid.glue())
  {
    const auto traction = solid.tractions(element, u);
    const auto apart = solid.separations(element, u);
    const BondStrength strength = judge.strength_of_line(element.line, nodes[element.belly_nodes[1]].station);
    const int first = static_cast<int>(lines.points.size());
    for (int k = 0; k < 3; ++k)
    {
      const int a = element.belly_nodes[k], b = element.back_nodes[k];
      lines.points.push_back(
          {0.5 * (nodes[a].place[0] + nodes[b].place[0]), flip * 0.5 * (nodes[a].place[1] + nodes[b].place[1]), 0.});
      line_displacement.insert(line_displacement.end(),
                               {0.5 * (u[2 * a] + u[2 * b]), flip * 0.5 * (u[2 * a + 1] + u[2 * b + 1]), 0.});
      peel.push_back(traction[k].peel);
      shear.push_back(traction[k].shear);
      opening.push_back(apart[k].x());
      slip.push_back(apart[k].y());
      parted.push_back(solid.glue_state(element, k).fraction);
      thickness.push_back(element.thickness[k]);
      line_station.push_back(nodes[a].station / 0.0254);
      index_shear.push_back(element.open ? 0. : std::abs(traction[k].shear) / strength.shear);
      index_peel.push_back(element.open ? 0. : std::max(0., traction[k].peel) / strength.peel);
    }
    lines.cells.push_back({first, first + 2, first + 1});
    glue_line.push_back(element.line);
  }
  std::vector<std::string> files = {stem + ".vtu"};
  if (lines.cells.empty())
    return files;
  write_vtu(folder / (stem + "_glue.vtu"), lines,
            {{"displacement", "m", 3, line_displacement, false, false},
             scalar("peel", "Pa", peel),
             scalar("shear", "Pa", shear),
             scalar("opening", "m", opening),
             scalar("slip", "m", slip),
             scalar("share of fracture energy spent", "1", parted),
             scalar("glue thickness", "m", thickness),
             scalar("station along back", "in", line_station),
             scalar("index glue shear", "1", index_shear),
             scalar("index glue peel", "1", index_peel),
             scalar("glue line from belly", "", glue_line, true, true)});
  files.push_back(stem + "_glue.vtu");
  return files;
}
} // namespace limbwright
