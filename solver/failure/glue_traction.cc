#include "solver/failure/glue_traction.h"

#include <algorithm>
#include <map>
#include <utility>

namespace limbwright
{
namespace
{
// A function given at the nodes of quadratic elements in a row: points 2 e, 2 e + 1, 2 e + 2 of each.
struct AlongRow
{
  std::vector<double> place, value;

  double mean(double from, double to) const
  {
    double integral = 0.;
    for (std::size_t i = 0; i + 2 < place.size(); i += 2)
    {
      const double start = place[i], length = place[i + 2] - start;
      const double a = std::max(from, start), b = std::min(to, start + length);
      if (b <= a)
        continue;
      const auto at = [&](double s)
      {
        const double x = (s - start) / length; // the middle node lies at one half
        return (1. - x) * (1. - 2. * x) * value[i] + 4. * x * (1. - x) * value[i + 1] + x * (2. * x - 1.) * value[i + 2];
      };
      integral += (b - a) / 6. * (at(a) + 4. * at(0.5 * (a + b)) + at(b));
    }
    return integral / (to - from);
  }

  // Of a window around a place, shifted inward at the ends.
  double mean_around(double middle, double window) const
  {
    const double length = std::min(window, place.back() - place.front());
    const double from = std::clamp(middle - length / 2., place.front(), place.back() - length);
    return mean(from, from + length);
  }
};

constexpr std::pair<double LineTraction::*, double LineTraction::*> averaged[] = {
    {&LineTraction::peel, &LineTraction::mean_peel},
    {&LineTraction::shear, &LineTraction::mean_shear},
    {&LineTraction::shear_across, &LineTraction::mean_shear_across}};
} // namespace

template <int dim>
std::vector<LineTraction> line_tractions(const LayeredSolid<dim> &solid, int line, const Eigen::VectorXd &u,
                                         double averaging_length)
{
  // Neighbouring elements share a place to the last bit: both take it from the same node.
  std::map<std::pair<double, double>, std::pair<LineTraction, int>> by_place; // across, station
  for (const auto &element : solid.glue())
  {
    if (element.line != line)
      continue;
    const auto traction = solid.tractions(element, u);
    const GluePatch *patch = patch_at(solid.shape().description().glue[line], solid.nodes()[element.belly_nodes[1]].station);
    const auto apart = element.open ? solid.separations(element, u) : typename LayeredSolid<dim>::Separations{};
    for (int k = 0; k < LayeredSolid<dim>::n_nodes_per_face; ++k)
    {
      const auto &node = solid.nodes()[element.belly_nodes[k]];
      auto &[sum, count] = by_place[{node.across, node.station}];
      sum.thickness += element.thickness[k];
      sum.peel += traction[k].peel;
      sum.shear += traction[k].shear;
      sum.shear_across += traction[k].shear_across;
      sum.parted = std::max(sum.parted, solid.glue_state(element, k).fraction);
      if (element.open)
        sum.opened = std::max(sum.opened, apart[k][0] - patch->gap_at(node.station));
      ++count;
    }
  }
  std::vector<LineTraction> points;
  std::map<double, std::vector<std::size_t>> rows, columns; // by across, by station
  for (const auto &[place, entry] : by_place)
  {
    LineTraction point = entry.first;
    point.across = place.first;
    point.station = place.second;
    for (double LineTraction::*value :
         {&LineTraction::thickness, &LineTraction::peel, &LineTraction::shear, &LineTraction::shear_across})
      point.*value /= entry.second;
    rows[point.across].push_back(points.size());
    columns[point.station].push_back(points.size());
    points.push_back(point);
  }
  const auto average = [&](const auto &lines, const auto &place_of, double LineTraction::*from, double LineTraction::*into)
  {
    for (const auto &[key, list] : lines)
    {
      AlongRow row;
      for (const std::size_t i : list)
      {
        row.place.push_back(place_of(points[i]));
        row.value.push_back(points[i].*from);
      }
      for (std::size_t i = 0; i < list.size(); ++i)
        points[list[i]].*into = row.mean_around(row.place[i], averaging_length);
    }
  };
  for (const auto &[raw, mean] : averaged)
  {
    average(
        rows, [](const LineTraction &point) { return point.station; }, raw, mean);
    if constexpr (dim == 3)
      average(
          columns, [&](const LineTraction &point) { return 0.5 * point.across * solid.shape().width(point.station); }, mean,
          mean);
  }
  return points;
}

std::vector<LineTraction> over_the_width(const std::vector<LineTraction> &rows)
{
  std::map<double, std::vector<const LineTraction *>> columns;
  for (const LineTraction &point : rows)
    columns[point.station].push_back(&point);
  std::vector<LineTraction> means;
  for (const auto &[station, column] : columns)
  {
    LineTraction sum = *column.front();
    sum.across = 0.;
    for (double LineTraction::*value : {&LineTraction::peel, &LineTraction::shear, &LineTraction::shear_across,
                                        &LineTraction::mean_peel, &LineTraction::mean_shear, &LineTraction::mean_shear_across})
    {
      AlongRow row;
      for (const LineTraction *point : column)
      {
        row.place.push_back(point->across);
        row.value.push_back(point->*value);
      }
      if (row.place.size() > 1)
        sum.*value = row.mean(row.place.front(), row.place.back());
    }
    for (const LineTraction *point : column)
    {
      sum.parted = std::max(sum.parted, point->parted);
      sum.opened = std::max(sum.opened, point->opened);
    }
    means.push_back(sum);
  }
  return means;
}

template std::vector<LineTraction> line_tractions(const LayeredSolid<2> &, int, const Eigen::VectorXd &, double);
template std::vector<LineTraction> line_tractions(const LayeredSolid<3> &, int, const Eigen::VectorXd &, double);
} // namespace limbwright
