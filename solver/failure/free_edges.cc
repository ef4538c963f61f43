#include "solver/failure/free_edges.h"

#include "meshing/mesh/limb_mesh.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <set>
#include <tuple>

namespace limbwright
{
namespace
{
template <int dim>
class EdgeReader
{
public:
  using Element = typename LayeredSolid<dim>::GlueElement;

  EdgeReader(const LayeredSolid<dim> &limb_solid, const Eigen::VectorXd &displacement) : solid(limb_solid), u(displacement)
  {
    for (const Element &element : solid.glue())
      present.insert({element.line, back_of(element), element.column, element.strip});
  }

  void read(const Element &element)
  {
    if (element.open || element.can_part || !(solid.shape().description().glue[element.line].thickness > 0.))
      return;
    const auto traction = solid.tractions(element, u);
    const int last_column = static_cast<int>(solid.column_stations().size()) - 2;
    for (const bool toward_tip : {false, true})
    {
      const int beyond = element.column + (toward_tip ? 1 : -1);
      if (beyond >= 0 && beyond <= last_column && present.count({element.line, back_of(element), beyond, element.strip}) == 0)
        read_end(element, traction, toward_tip);
    }
    if constexpr (dim == 3)
      for (const double side : {-1., 1.})
        if (const int k = side < 0. ? 0 : 2; std::abs(across_of(element, 3 * k) - side) < 1e-9 && resolves_side(element))
          read_side(element, traction, k);
  }

  std::vector<PatchEnd> result() const
  {
    std::vector<PatchEnd> list;
    for (const auto &[place, edge] : ends)
      list.push_back(edge);
    for (const auto &[place, entry] : sides)
    {
      PatchEnd edge = entry.first;
      edge.opening /= entry.second;
      edge.sliding /= entry.second;
      list.push_back(edge);
    }
    return list;
  }

private:
  const LayeredSolid<dim> &solid;
  const Eigen::VectorXd &u;
  std::set<std::array<int, 4>> present;                  // line, lamination on its back side, column, strip
  std::map<std::tuple<int, int, double>, PatchEnd> ends; // line, its back, station
  // By line, its back, side, station: sums, and how many.
  std::map<std::tuple<int, int, double, double>, std::pair<PatchEnd, int>> sides;

  int back_of(const Element &element) const { return solid.nodes()[element.back_nodes[0]].lamination; }
  double across_of(const Element &element, int k) const { return solid.nodes()[element.belly_nodes[k]].across; }

  // Whether the element is narrow enough for the traction to change as it does toward an edge.
  bool resolves_side(const Element &element) const
  {
    const auto &shape = solid.shape();
    const double station = solid.nodes()[element.belly_nodes[1]].station;
    const double strip = 0.5 * shape.width(station) * std::abs(across_of(element, 6) - across_of(element, 0));
    return strip <= std::min(shape.thickness(static_cast<std::size_t>(element.line), station),
                             shape.thickness(static_cast<std::size_t>(back_of(element)), station));
  }

  PatchEnd energy(const Element &element, const typename LayeredSolid<dim>::GlueTraction &traction, int k) const
  {
    const auto &node = solid.nodes()[element.belly_nodes[k]];
    PatchEnd edge;
    edge.line = element.line;
    edge.station = node.station;
    edge.across = node.across;
    const double opening = std::max(0., traction.peel);
    edge.opening = opening * opening / (2. * element.normal_stiffness[k]);
    edge.sliding =
        (traction.shear * traction.shear + traction.shear_across * traction.shear_across) / (2. * element.shear_stiffness[k]);
    return edge;
  }

  void read_end(const Element &element, const typename LayeredSolid<dim>::GlueTractions &traction, bool toward_tip)
  {
    for (int k = toward_tip ? 2 : 0; k < LayeredSolid<dim>::n_nodes_per_face; k += 3)
    {
      PatchEnd edge = energy(element, traction[k], k);
      edge.toward_tip = !toward_tip; // the edge goes back
      const auto [entry, is_new] = ends.try_emplace({element.line, back_of(element), edge.station}, edge);
      if (!is_new && edge.total() > entry->second.total())
        entry->second = edge;
    }
  }

  void read_side(const Element &element, const typename LayeredSolid<dim>::GlueTractions &traction, int k)
  {
    for (int j = 0; j < 3; ++j)
    {
      PatchEnd edge = energy(element, traction[j + 3 * k], j + 3 * k);
      edge.sideways = true;
      const auto [entry, is_new] =
          sides.try_emplace({element.line, back_of(element), edge.across, edge.station}, std::pair(edge, 1));
      if (!is_new)
      {
        entry->second.first.opening += edge.opening;
        entry->second.first.sliding += edge.sliding;
        ++entry->second.second;
      }
    }
  }
};
} // namespace

template <int dim>
std::vector<PatchEnd> free_edges(const LayeredSolid<dim> &solid, const Eigen::VectorXd &u)
{
  EdgeReader<dim> reader(solid, u);
  for (const auto &element : solid.glue())
    reader.read(element);
  return reader.result();
}

template std::vector<PatchEnd> free_edges(const LayeredSolid<2> &, const Eigen::VectorXd &);
template std::vector<PatchEnd> free_edges(const LayeredSolid<3> &, const Eigen::VectorXd &);
} // namespace limbwright
