// Weak zones of a LayeredSolid: the width at a point of integration is shared among strips of different stuff and grain.
#include "meshing/mesh/limb_mesh.h"
#include "solver/model/layered_solid.h"

namespace limbwright
{
// The parts of a point in a weak zone give way to the strips of the width there, each with its share of the part's.
template <int dim>
void LayeredSolid<dim>::make_weak_parts(const std::map<std::string, Material> &materials, PlaneState plane)
{
  const LimbDescription &limb = shape().description();
  if (limb.weak.empty() || limb.weak.told_sound)
    return;
  for (const LaminationDescription &lamination : limb.laminations)
    woods.push_back(materials.at(lamination.material));
  const auto weak_parts_of = [&](std::size_t lamination, double station, double depth, double z)
  {
    if constexpr (dim == 2)
    {
      static_cast<void>(z);
      return weak_parts(shape(), materials, plane, lamination, station, depth);
    }
    else
    {
      static_cast<void>(plane);
      std::vector<WeakPartOf<3>> list;
      if (const auto part = weak_part_in_space(shape(), materials, lamination, station, depth, z))
        list.push_back(*part);
      return list;
    }
  };
  std::vector<Part> all;
  for (std::size_t c = 0; c < cell_list.size(); ++c)
    for (Point &point : points[c])
    {
      const std::size_t first = all.size();
      for (std::size_t i = point.first_part; i < point.last_part; ++i)
      {
        const auto lamination = static_cast<std::size_t>(parts[i].lamination);
        const auto strips = weak_parts_of(lamination, point.station, point.depth, point.across);
        if (strips.empty())
          all.push_back(parts[i]);
        for (const WeakPartOf<dim> &strip : strips)
        {
          all.push_back({parts[i].lamination, parts[i].share * strip.strip.share, parts[i].prestrain_along,
                         static_cast<int>(weak_list.size())});
          weak_list.push_back(strip);
        }
      }
      point.first_part = first;
      point.last_part = all.size();
    }
  parts = std::move(all);
  for (std::size_t n = 0; n < node_list.size(); ++n)
    if (auto strips = weak_parts_of(static_cast<std::size_t>(node_list[n].lamination), node_list[n].station,
                                    node_list[n].depth + node_list[n].slanted, node_list[n].place[2]);
        !strips.empty())
      weak_nodes[static_cast<int>(n)] = std::move(strips);
}

template <int dim>
void LayeredSolid<dim>::let_crush(std::vector<std::optional<CrushingLaw>> by_lamination)
{
  crushing = std::move(by_lamination);
  const LimbDescription &limb = shape().description();
  const auto give_law = [&](WeakPartOf<dim> &part)
  {
    const auto lamination = static_cast<std::size_t>(part.lamination);
    part.crush = turned_law(crushing[lamination], part, woods[lamination], limb.laminations[lamination].ring, limb.weak);
  };
  for (WeakPartOf<dim> &part : weak_list)
    give_law(part);
  for (auto &[node, strips] : weak_nodes)
    for (WeakPartOf<dim> &part : strips)
      give_law(part);
}

template <int dim>
const std::vector<WeakPartOf<dim>> *LayeredSolid<dim>::weak_parts_at(int node) const
{
  const auto found = weak_nodes.find(node);
  return found == weak_nodes.end() ? nullptr : &found->second;
}

template void LayeredSolid<2>::make_weak_parts(const std::map<std::string, Material> &, PlaneState);
template void LayeredSolid<2>::let_crush(std::vector<std::optional<CrushingLaw>>);
template const std::vector<WeakPartOf<2>> *LayeredSolid<2>::weak_parts_at(int) const;
template void LayeredSolid<3>::make_weak_parts(const std::map<std::string, Material> &, PlaneState);
template void LayeredSolid<3>::let_crush(std::vector<std::optional<CrushingLaw>>);
template const std::vector<WeakPartOf<3>> *LayeredSolid<3>::weak_parts_at(int) const;
} // namespace limbwright
