#include "solver/fields/limb_fields.h"

#include "meshing/mesh/limb_mesh.h"
#include "solver/fields/shared_vtu.h"

#include <algorithm>
#include <cmath>
#include <map>

namespace limbwright
{
namespace
{
// VTK's order of the nine nodes of a biquadratic quadrilateral, as lexicographic numbers; and mirrored in the second direction,
// which keeps the area positive where y is turned round.
constexpr int vtk_quad9[9] = {0, 2, 8, 6, 1, 5, 7, 3, 4};
constexpr int vtk_quad9_mirrored[9] = {6, 8, 2, 0, 7, 5, 1, 3, 4};
// Of the 27 nodes of a triquadratic hexahedron: corners, edges, faces (first local direction low and high, second, third),
// centre.
constexpr int vtk_hex27[27] = {0, 2, 8, 6, 18, 20, 26, 24, 1, 5, 7, 3, 19, 23, 25, 21, 9, 11, 17, 15, 12, 14, 10, 16, 4, 22, 13};

// The number of a local node whose second direction is turned round.
int mirrored_node(int node)
{
  return node + 3 * (2 - 2 * (node / 3 % 3));
}

std::vector<int> vtk_cell(int dim, bool mirrored)
{
  if (dim == 2)
    return mirrored ? std::vector<int>(std::begin(vtk_quad9_mirrored), std::end(vtk_quad9_mirrored))
                    : std::vector<int>(std::begin(vtk_quad9), std::end(vtk_quad9));
  std::vector<int> order(std::begin(vtk_hex27), std::end(vtk_hex27));
  if (mirrored)
    for (int &node : order)
      node = mirrored_node(node);
  return order;
}

// Names of the components of LayeredSolid's strains and stresses.
template <int dim>
std::vector<std::string> component_names(const std::string &what)
{
  const std::string of_shear = what == "strain" ? "shear strain" : "shear stress";
  if constexpr (dim == 2)
    return {what + " along grain", what + " through thickness", of_shear + " on grain plane"};
  return {what + " along grain",      what + " through thickness",     what + " across width",
          of_shear + " across grain", of_shear + " on plane of layer", of_shear + " on grain plane"};
}

// In the bow's axes.
template <int dim>
std::vector<std::string> bow_names(const std::string &what)
{
  const std::string of_shear = what == "strain" ? "shear strain" : "stress";
  if constexpr (dim == 2)
    return {what + " xx", what + " yy", of_shear + " xy"};
  return {what + " xx", what + " yy", what + " zz", of_shear + " yz", of_shear + " xz", of_shear + " xy"};
}

// Components turned from grain axes, the columns of `axes`, into the bow's. Shear strains count twice.
template <int dim>
Eigen::Matrix<double, dim *(dim + 1) / 2, 1> turned(const Eigen::Matrix<double, dim *(dim + 1) / 2, 1> &value,
                                                    const Eigen::Matrix<double, dim, dim> &axes, double shear_factor)
{
  static constexpr int pair[6][2] = {{0, 0}, {1, 1}, {2, 2}, {1, 2}, {0, 2}, {0, 1}};
  constexpr int n = dim * (dim + 1) / 2;
  const auto place = [](int k) { return dim == 2 && k == 2 ? pair[5] : pair[k]; };
  Eigen::Matrix<double, dim, dim> tensor;
  for (int k = 0; k < n; ++k)
  {
    const int i = place(k)[0], j = place(k)[1];
    tensor(i, j) = tensor(j, i) = i == j ? value[k] : value[k] / shear_factor;
  }
  tensor = axes * tensor * axes.transpose();
  Eigen::Matrix<double, n, 1> result;
  for (int k = 0; k < n; ++k)
  {
    const int i = place(k)[0], j = place(k)[1];
    result[k] = i == j ? tensor(i, j) : tensor(i, j) * shear_factor;
  }
  return result;
}

const std::vector<std::pair<FailureMode, std::string>> index_fields = {
    {FailureMode::tension_along, "index tension along grain"},
    {FailureMode::compression_along, "index compression along grain"},
    {FailureMode::across_tension, "index tension across grain"},
    {FailureMode::across_compression, "index compression across grain"},
    {FailureMode::shear, "index shear"},
    {FailureMode::rolling_shear, "index rolling shear"},
    {FailureMode::interaction, "index Tsai-Wu"},
    {FailureMode::belly_set, "index set (belly strain over crushing strength strain)"},
    {FailureMode::belly_crushing, "index crushing (belly strain over bending strength strain)"},
    {FailureMode::splinter, "index splinter lifting"},
    {FailureMode::slanting_grain, "index break across slanting grain (Norris)"},
    {FailureMode::knot_cracks, "index knot pulled apart"}};

// Ends the name of a field that holds what the answer is made from: structural values where those are judged.
const std::string as_judged = ", as judged";

FieldArray scalar(const std::string &name, const std::string &unit, std::vector<double> values, bool on_cells = false,
                  bool integer = false)
{
  return {name, unit, 1, std::move(values), on_cells, integer};
}
} // namespace

template <int dim>
std::vector<std::string> write_limb_fields(const std::filesystem::path &folder, const std::string &stem,
                                           const LayeredSolid<dim> &solid, const LimbJudgeOf<dim> &judge,
                                           const typename LimbJudgeOf<dim>::Verdict &verdict, const Eigen::VectorXd &u,
                                           bool mirrored)
{
  const NodalFieldsOf<dim> &fields = verdict.fields, &judged = verdict.judged;
  constexpr int n_strains = LayeredSolid<dim>::n_strains;
  const double flip = mirrored ? -1. : 1.;
  const auto &nodes = solid.nodes();
  // Those of this process's cells.
  std::vector<int> number_here(nodes.size(), -1), own;
  for (const auto &cell : solid.cells())
    if (solid.owns(cell.column))
      for (const int node : cell.nodes)
        number_here[static_cast<std::size_t>(node)] = 0;
  for (std::size_t i = 0; i < nodes.size(); ++i)
    if (number_here[i] == 0)
    {
      number_here[i] = static_cast<int>(own.size());
      own.push_back(static_cast<int>(i));
    }
  const std::size_t n = own.size();
  const auto &laminations = solid.shape().description().laminations;

  FieldMesh mesh;
  mesh.cell = dim == 2 ? FieldMesh::Cell::quad9 : FieldMesh::Cell::hex27;
  std::vector<double> displacement, grain, station, depth, structural, crushed, knot_share, greatest_turn;
  std::vector<std::vector<double>> tensors(4 * n_strains, std::vector<double>(n));
  std::vector<double> judged_strain, judged_stress, judged_crushed;
  std::map<FailureMode, std::vector<double>> indices, judged_indices;
  for (const auto &[mode, name] : index_fields)
    if (dim == 3 || mode != FailureMode::rolling_shear)
    {
      indices[mode].assign(n, 0.);
      judged_indices[mode].assign(n, 0.);
    }
  for (std::size_t at = 0; at < n; ++at)
  {
    const auto i = static_cast<std::size_t>(own[at]);
    const auto &node = nodes[i];
    mesh.points.push_back({node.place[0], flip * node.place[1], node.place[2]});
    displacement.insert(displacement.end(), {u[dim * i], flip * u[dim * i + 1], dim == 3 ? u[dim * i + dim - 1] : 0.});
    const double lean = solid.shape().grain_lean(node.lamination, node.station);
    const Eigen::Vector2d L(std::sin(lean), std::cos(lean)), N(L.y(), -L.x());
    // In a solid the grain's own direction, which may run sideways; in the side view the mean over the width.
    const GrainTurn turn =
        dim == 2 ? solid.shape().mean_grain_turn(node.lamination, node.station, node.depth)
                 : solid.shape().grain_turn(node.lamination, node.station, node.depth + node.slanted, node.place[2]);
    const double local = lean + turn.dive, sideways = dim == 2 ? 0. : std::sin(turn.turn);
    const double in_plane = std::sqrt(1. - sideways * sideways);
    grain.insert(grain.end(), {in_plane * std::sin(local), flip * in_plane * std::cos(local), sideways});
    double knots = 0., turned_most = 0.;
    if (const auto *weak = solid.weak_parts_at(static_cast<int>(i)))
    {
      for (const WeakPartOf<dim> &part : *weak)
        (part.strip.knot >= 0 ? knots : turned_most) =
            part.strip.knot >= 0 ? knots + part.strip.share : std::max(turned_most, part.strip.grain.angle());
    }
    knot_share.push_back(knots);
    greatest_turn.push_back(turned_most / M_PI * 180.);
    station.push_back(node.station / 0.0254);
    depth.push_back(node.depth);
    crushed.push_back(fields.crushed.at_node[i]);
    structural.push_back(judged.structural[i] ? 1. : 0.);
    judged_strain.push_back(judged.strain[i][0]);
    judged_stress.push_back(judged.stress[i][0]);
    judged_crushed.push_back(judged.crushed.at_node[i]);

    // Grain axes, and the same tensors turned into the bow's axes.
    const auto &e = fields.strain[i], &s = fields.stress[i];
    Eigen::Matrix<double, dim, dim> axes = Eigen::Matrix<double, dim, dim>::Identity();
    axes.template topLeftCorner<2, 2>() << L.x(), N.x(), flip * L.y(), flip * N.y();
    const typename LayeredSolid<dim>::Strain values[4] = {e, s, turned<dim>(e, axes, 2.), turned<dim>(s, axes, 1.)};
    for (int k = 0; k < 4 * n_strains; ++k)
      tensors[k][at] = values[k / n_strains][k % n_strains];
    for (const auto &[mode, note] : judge.indices_at(static_cast<int>(i), fields))
      indices[mode.mode][at] = std::max(indices[mode.mode][at], mode.index);
    for (const auto &[mode, note] : judge.indices_at(static_cast<int>(i), judged))
      judged_indices[mode.mode][at] = std::max(judged_indices[mode.mode][at], mode.index);
  }
  std::vector<double> layer, column;
  const std::vector<int> cell_order = vtk_cell(dim, mirrored);
  std::vector<std::string> material_names; // numbered in the order of the lay-up
  std::vector<double> material;
  for (const auto &cell : solid.cells())
  {
    const std::string &name = laminations[cell.lamination].material;
    auto found = std::find(material_names.begin(), material_names.end(), name);
    if (found == material_names.end())
      found = material_names.insert(material_names.end(), name);
    if (!solid.owns(cell.column))
      continue;
    material.push_back(static_cast<double>(found - material_names.begin()));
    std::vector<int> connectivity;
    for (const int k : cell_order)
      connectivity.push_back(number_here[static_cast<std::size_t>(cell.nodes[k])]);
    mesh.cells.push_back(connectivity);
    layer.push_back(cell.lamination);
    column.push_back(cell.column);
  }

  std::vector<FieldArray> arrays;
  arrays.push_back({"displacement", "m", 3, displacement, false, false});
  arrays.push_back({"grain direction", "1", 3, grain, false, false});
  const std::pair<std::vector<std::string>, const char *> groups[4] = {{component_names<dim>("strain"), "1"},
                                                                       {component_names<dim>("stress"), "Pa"},
                                                                       {bow_names<dim>("strain"), "1"},
                                                                       {bow_names<dim>("stress"), "Pa"}};
  for (int k = 0; k < 4 * n_strains; ++k)
    arrays.push_back(scalar(groups[k / n_strains].first[static_cast<std::size_t>(k % n_strains)], groups[k / n_strains].second,
                            tensors[static_cast<std::size_t>(k)]));
  arrays.push_back(scalar("plastic shortening along grain", "1", crushed));
  arrays.push_back(scalar("strain along grain" + as_judged, "1", judged_strain));
  arrays.push_back(scalar("stress along grain" + as_judged, "Pa", judged_stress));
  arrays.push_back(scalar("plastic shortening along grain" + as_judged, "1", judged_crushed));
  for (const auto &[mode, name] : index_fields)
    if (indices.count(mode) > 0)
    {
      arrays.push_back(scalar(name, "1", indices[mode]));
      arrays.push_back(scalar(name + as_judged, "1", judged_indices[mode]));
    }
  arrays.push_back(scalar("share of the width in knots", "1", knot_share));
  arrays.push_back(scalar("greatest turn of the grain across the width", "deg", greatest_turn));
  arrays.push_back(scalar("station along back", "in", station));
  arrays.push_back(scalar("depth below back", "m", depth));
  arrays.push_back(scalar("judged by the plane section", "", structural, false, true));
  arrays.push_back(scalar("layer from belly", "", layer, true, true));
  arrays.push_back(scalar("material", "", material, true, true));
  std::vector<std::string> files = {write_shared(solid.communicator(), folder, stem, mesh, arrays)};

  FieldMesh lines;
  lines.cell = dim == 2 ? FieldMesh::Cell::line3 : FieldMesh::Cell::quad9;
  std::vector<double> line_displacement, peel, shear, shear_across, opening, slip, thickness, line_station, glue_line,
      index_shear, index_peel, parted;
  for (const auto &element : solid.glue())
  {
    if (!solid.owns(element.column))
      continue;
    const auto traction = solid.tractions(element, u);
    const auto apart = solid.separations(element, u);
    const auto &middle = nodes[element.belly_nodes[LayeredSolid<dim>::n_nodes_per_face / 2]];
    const BondStrength strength = judge.strength_of_line(element.line, middle.station, middle.across);
    const int first = static_cast<int>(lines.points.size());
    for (int k = 0; k < LayeredSolid<dim>::n_nodes_per_face; ++k)
    {
      const int a = element.belly_nodes[k], b = element.back_nodes[k];
      std::array<double, 3> place{}, moved{};
      for (int c = 0; c < 3; ++c)
        place[c] = 0.5 * (nodes[a].place[c] + nodes[b].place[c]);
      for (int c = 0; c < dim; ++c)
        moved[c] = 0.5 * (u[dim * a + c] + u[dim * b + c]);
      place[1] *= flip;
      moved[1] *= flip;
      lines.points.push_back(place);
      line_displacement.insert(line_displacement.end(), moved.begin(), moved.end());
      const double shear_size = std::hypot(traction[k].shear, traction[k].shear_across);
      peel.push_back(traction[k].peel);
      shear.push_back(traction[k].shear);
      shear_across.push_back(traction[k].shear_across);
      opening.push_back(apart[k][0]);
      slip.push_back(apart[k][1]);
      parted.push_back(solid.glue_state(element, k).fraction);
      thickness.push_back(element.thickness[k]);
      line_station.push_back(nodes[a].station / 0.0254);
      index_shear.push_back(element.open ? 0. : shear_size / strength.shear);
      index_peel.push_back(element.open ? 0. : std::max(0., traction[k].peel) / strength.peel);
    }
    std::vector<int> connectivity;
    if constexpr (dim == 2)
      connectivity = {first, first + 2, first + 1};
    else
      for (const int k : vtk_quad9)
        connectivity.push_back(first + k);
    lines.cells.push_back(connectivity);
    glue_line.push_back(element.line);
  }
  if (solid.glue().empty())
    return files;
  std::vector<FieldArray> on_lines{{"displacement", "m", 3, line_displacement, false, false},
                                   scalar("peel", "Pa", peel),
                                   scalar("shear", "Pa", shear),
                                   scalar("opening", "m", opening),
                                   scalar("slip", "m", slip),
                                   scalar("share of fracture energy spent", "1", parted),
                                   scalar("glue thickness", "m", thickness),
                                   scalar("station along back", "in", line_station),
                                   scalar("index glue shear", "1", index_shear),
                                   scalar("index glue peel", "1", index_peel),
                                   scalar("glue line from belly", "", glue_line, true, true)};
  if (dim == 3)
    on_lines.push_back(scalar("shear across", "Pa", shear_across));
  files.push_back(write_shared(solid.communicator(), folder, stem + "_glue", lines, on_lines));
  return files;
}

template std::vector<std::string> write_limb_fields(const std::filesystem::path &, const std::string &, const LayeredSolid<2> &,
                                                    const LimbJudgeOf<2> &, const LimbJudgeOf<2>::Verdict &,
                                                    const Eigen::VectorXd &, bool);
template std::vector<std::string> write_limb_fields(const std::filesystem::path &, const std::string &, const LayeredSolid<3> &,
                                                    const LimbJudgeOf<3> &, const LimbJudgeOf<3>::Verdict &,
                                                    const Eigen::VectorXd &, bool);
} // namespace limbwright
