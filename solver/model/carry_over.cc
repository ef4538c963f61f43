#include "solver/model/carry_over.h"

#include <map>
#include <stdexcept>
#include <tuple>

namespace limbwright
{
namespace
{
struct AtNode
{
  Eigen::Vector2d moved = Eigen::Vector2d::Zero();
  double strain_across = 0.;
};

// Strain across the width at every node of a side view in plane stress, from the strains at the cells' Gauss points.
std::vector<double> strains_across(const LayeredSolid<2> &side_view, const Eigen::VectorXd &u, const LayeredSolid<3> &solid)
{
  std::vector<double> sum(side_view.nodes().size(), 0.);
  std::vector<int> count(sum.size(), 0);
  for (const auto &cell : side_view.cells())
  {
    LayeredSolid<2>::Strain mean = LayeredSolid<2>::Strain::Zero();
    const auto strains = side_view.gauss_strains(cell, u);
    for (const auto &strain : strains)
      mean += strain / static_cast<double>(strains.size());
    const auto &C = solid.stiffness(cell.lamination);
    for (const int node : cell.nodes)
    {
      sum[node] -= (C(2, 0) * mean[0] + C(2, 1) * mean[1]) / C(2, 2);
      ++count[node];
    }
  }
  for (std::size_t node = 0; node < sum.size(); ++node)
    sum[node] /= count[node];
  return sum;
}
} // namespace

Eigen::VectorXd solid_displacement(const LayeredSolid<2> &side_view, const Eigen::VectorXd &u, const LayeredSolid<3> &solid)
{
  const std::vector<double> across = strains_across(side_view, u, solid);
  std::map<std::tuple<int, double, double>, AtNode> at;
  for (std::size_t node = 0; node < side_view.nodes().size(); ++node)
  {
    const auto &place = side_view.nodes()[node];
    at[{place.lamination, place.station, place.depth}] = {u.segment<2>(2 * static_cast<Eigen::Index>(node)), across[node]};
  }
  // By station: how the strain across changes with the depth, and which way the back looks.
  struct Section
  {
    double depth = 0., strain = 0., depth2 = 0., product = 0.;
    int n = 0;
    Eigen::Vector2d belly, back, belly_moved, back_moved;
    double belly_depth = -1e9, back_depth = 1e9;
  };
  std::map<double, Section> sections;
  for (std::size_t node = 0; node < side_view.nodes().size(); ++node)
  {
    const auto &place = side_view.nodes()[node];
    Section &section = sections[place.station];
    ++section.n;
    section.depth += place.depth;
    section.strain += across[node];
    section.depth2 += place.depth * place.depth;
    section.product += place.depth * across[node];
    const Eigen::Vector2d moved = u.segment<2>(2 * static_cast<Eigen::Index>(node));
    const Eigen::Vector2d now = Eigen::Vector2d(place.place[0], place.place[1]) + moved;
    if (place.depth > section.belly_depth)
    {
      section.belly_depth = place.depth;
      section.belly = now;
      section.belly_moved = moved;
    }
    if (place.depth < section.back_depth)
    {
      section.back_depth = place.depth;
      section.back = now;
      section.back_moved = moved;
    }
  }

  Eigen::VectorXd result(3 * static_cast<Eigen::Index>(solid.nodes().size()));
  for (std::size_t node = 0; node < solid.nodes().size(); ++node)
  {
    const auto &place = solid.nodes()[node];
    const auto found = at.find({place.lamination, place.station, place.depth});
    if (found == at.end())
      throw std::logic_error("the side view's mesh does not fit the solid's");
    const Section &section = sections.at(place.station);
    const double n = section.n;
    const double slope =
        (section.product - section.depth * section.strain / n) / (section.depth2 - section.depth * section.depth / n);
    const double z = place.place[2];
    const Eigen::Vector2d toward_back = (section.back - section.belly).normalized();
    // Deeper than in the side view it goes as the section turns.
    const Eigen::Vector2d by_depth = (section.belly_moved - section.back_moved) / (section.belly_depth - section.back_depth);
    const Eigen::Vector2d moved = found->second.moved + 0.5 * slope * z * z * toward_back + place.fallen * by_depth;
    result.segment<3>(3 * static_cast<Eigen::Index>(node)) << moved, (found->second.strain_across + slope * place.fallen) * z;
  }
  return result;
}

Eigen::VectorXd moved_displacement(const LayeredSolid<2> &from, const Eigen::VectorXd &u, const LayeredSolid<2> &to)
{
  const auto &nodes = from.nodes();
  if (to.nodes().size() != nodes.size())
    throw std::logic_error("a mesh is not the other's, moved");
  const auto moved = [&](std::size_t node) { return u.segment<2>(2 * static_cast<Eigen::Index>(node)); };
  std::map<double, std::pair<std::size_t, std::size_t>> faces; // by station: the nodes nearest to back and belly
  for (std::size_t node = 0; node < nodes.size(); ++node)
  {
    auto &[back, belly] = faces.try_emplace(nodes[node].station, node, node).first->second;
    back = nodes[node].depth < nodes[back].depth ? node : back;
    belly = nodes[node].depth > nodes[belly].depth ? node : belly;
  }
  Eigen::VectorXd result(u.size());
  for (std::size_t node = 0; node < nodes.size(); ++node)
  {
    if (to.nodes()[node].lamination != nodes[node].lamination)
      throw std::logic_error("a mesh is not the other's, moved");
    const auto &[back, belly] = faces.at(nodes[node].station);
    const Eigen::Vector2d by_depth = (moved(belly) - moved(back)) / (nodes[belly].depth - nodes[back].depth);
    result.segment<2>(2 * static_cast<Eigen::Index>(node)) =
        moved(node) + (to.nodes()[node].depth - nodes[node].depth) * by_depth;
  }
  return result;
}
} // namespace limbwright
