#include "solver/failure/recovery.h"

#include "solver/failure/gathered_strain.h"

#include <algorithm>
#include <cmath>
#include <map>

namespace limbwright
{
template <int dim>
NodalFieldsOf<dim> recover_nodal_fields(const LayeredSolid<dim> &solid, const Eigen::VectorXd &u, const Crushed &crushed_before)
{
  using Strain = typename LayeredSolid<dim>::Strain;
  constexpr int n_points = 1 << dim;
  const std::size_t n_nodes = solid.nodes().size();
  NodalFieldsOf<dim> fields;
  fields.strain.assign(n_nodes, Strain::Zero());
  fields.stress.assign(n_nodes, Strain::Zero());
  fields.crushed.at_node.assign(n_nodes, 0.);
  std::vector<int> count(n_nodes, 0);
  for (const auto &cell : solid.cells())
  {
    const auto gauss = solid.gauss_strains(cell, u); // first coordinate, from belly to back, fastest
    for (int k = 0; k < LayeredSolid<dim>::n_nodes_per_cell; ++k)
    {
      // A node at local coordinate 1 lies at sqrt(3) of the Gauss points' square.
      const double at[3] = {std::sqrt(3.) * (k % 3 - 1), std::sqrt(3.) * (k / 3 % 3 - 1), std::sqrt(3.) * (k / 9 - 1)};
      for (int p = 0; p < n_points; ++p)
      {
        double weight = 1.;
        for (int d = 0; d < dim; ++d)
          weight *= 0.5 * (1. + ((p >> d & 1) != 0 ? at[d] : -at[d]));
        fields.strain[cell.nodes[k]] += weight * gauss[static_cast<std::size_t>(p)];
      }
      ++count[cell.nodes[k]];
    }
  }
  const auto follow_law = [&](int node)
  {
    const auto n = static_cast<std::size_t>(node);
    const int lamination = solid.nodes()[n].lamination;
    double &crushed = fields.crushed.at_node[n];
    crushed = crushed_before.at_node.empty() ? 0. : crushed_before.at_node[n];
    if (const auto *weak = solid.weak_parts_at(node))
    {
      fields.stress[n].setZero();
      const auto before = crushed_before.of_strip.find(node);
      std::vector<double> &strips = fields.crushed.of_strip[node];
      strips = before == crushed_before.of_strip.end() ? std::vector<double>(weak->size(), 0.) : before->second;
      for (std::size_t i = 0; i < weak->size(); ++i)
      {
        const WeakPartOf<dim> &part = (*weak)[i];
        const auto step = own_stress<dim>(part, part.to_own * fields.strain[n], strips[i]);
        fields.stress[n] += part.strip.share * (part.to_own.transpose() * step.stress);
        strips[i] = step.plastic_strain;
        crushed = std::max(crushed, step.plastic_strain);
      }
    }
    else if (const auto &law = solid.crushing_law(lamination))
    {
      const auto step = crush(*law, solid.stiffness(lamination), fields.strain[n], crushed);
      fields.stress[n] = step.stress;
      crushed = step.plastic_strain;
    }
    else
      fields.stress[n] = solid.stiffness(lamination) * fields.strain[n];
  };
  for (std::size_t node = 0; node < n_nodes; ++node)
  {
    fields.strain[node] /= count[node];
    follow_law(static_cast<int>(node));
  }
  if constexpr (dim == 2)
    for (const int node : spread_gathered_strain(solid, fields))
      follow_law(node);
  return fields;
}

template <int dim>
std::vector<SectionFit> fit_sections(const LayeredSolid<dim> &solid, const NodalFieldsOf<dim> &fields)
{
  const auto without_prestrain = [&](int index)
  {
    const auto &node = solid.nodes()[index];
    return fields.strain[index][0] -
           solid.shape().prestrain(static_cast<std::size_t>(node.lamination), node.station, node.depth + node.slanted);
  };
  const auto depth_of = [&](int index) { return solid.nodes()[index].depth + solid.nodes()[index].fallen; };
  const bool whole_width = dim == 3 && !solid.half_width();
  std::vector<SectionFit> fits;
  for (const double station : solid.column_stations())
  {
    double depth = 0., strain = 0., depth2 = 0., product = 0., z2 = 0., z_product = 0.;
    const auto shares = solid.section_shares(station);
    for (const auto &[node, share] : shares)
    {
      depth += share * depth_of(node);
      strain += share * without_prestrain(node);
    }
    for (const auto &[node, share] : shares)
    {
      const double d = depth_of(node) - depth, z = solid.nodes()[node].place[2];
      depth2 += share * d * d;
      product += share * d * without_prestrain(node);
      z2 += share * z * z;
      z_product += share * z * without_prestrain(node);
    }
    const double slope = product / depth2;
    fits.push_back({station, strain - slope * depth, slope, whole_width ? z_product / z2 : 0.});
  }
  return fits;
}

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
      const double spent = solid.glue_state(element, k).fraction;
      sum.parted = std::max(sum.parted, spent);
      if (!element.open)
        sum.let_go = std::max(sum.let_go, spent);
      else
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
      sum.let_go = std::max(sum.let_go, point->let_go);
      sum.opened = std::max(sum.opened, point->opened);
    }
    means.push_back(sum);
  }
  return means;
}

template NodalFieldsOf<2> recover_nodal_fields(const LayeredSolid<2> &, const Eigen::VectorXd &, const Crushed &);
template std::vector<SectionFit> fit_sections(const LayeredSolid<2> &, const NodalFieldsOf<2> &);
template std::vector<LineTraction> line_tractions(const LayeredSolid<2> &, int, const Eigen::VectorXd &, double);
template NodalFieldsOf<3> recover_nodal_fields(const LayeredSolid<3> &, const Eigen::VectorXd &, const Crushed &);
template std::vector<SectionFit> fit_sections(const LayeredSolid<3> &, const NodalFieldsOf<3> &);
template std::vector<LineTraction> line_tractions(const LayeredSolid<3> &, int, const Eigen::VectorXd &, double);
} // namespace limbwright
