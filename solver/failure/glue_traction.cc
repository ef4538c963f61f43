#include "solver/failure/glue_traction.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <utility>

namespace limbwright
{
namespace
{
// Distance of points between the nodes over the averaging length. [1] The mean's peak is then found within a hundredth.
constexpr double sampling_share = 0.125;

// A quadratic over one element, by its values at both ends and in the middle.
struct Piece
{
  double from = 0., to = 0.;
  std::array<double, 3> value{};

  double at(double s) const
  {
    const double x = (s - from) / (to - from);
    return (1. - x) * (1. - 2. * x) * value[0] + 4. * x * (1. - x) * value[1] + x * (2. * x - 1.) * value[2];
  }
};

// Elements in a row. Where they meet their values may differ: a traction jumps where a lamination ends.
double mean(const std::vector<Piece> &row, double from, double to)
{
  double integral = 0.;
  auto piece = std::lower_bound(row.begin(), row.end(), from, [](const Piece &one, double s) { return one.to <= s; });
  for (; piece != row.end() && piece->from < to; ++piece)
    if (const double a = std::max(from, piece->from), b = std::min(to, piece->to); b > a)
      integral += (b - a) / 6. * (piece->at(a) + 4. * piece->at(0.5 * (a + b)) + piece->at(b));
  return integral / (to - from);
}

// Over a window around a place, shifted inward at the row's ends.
double mean_around(const std::vector<Piece> &row, double middle, double window)
{
  const double first = row.front().from, last = row.back().to, length = std::min(window, last - first);
  const double from = std::clamp(middle - length / 2., first, last - length);
  return mean(row, from, from + length);
}

// Of values at the nodes of a row, two of each element shared with its neighbours.
std::vector<Piece> pieces(const std::vector<double> &place, const std::vector<double> &value)
{
  std::vector<Piece> row;
  for (std::size_t i = 0; i + 2 < place.size(); i += 2)
    row.push_back({place[i], place[i + 2], {value[i], value[i + 1], value[i + 2]}});
  return row;
}

// What is averaged, and where the mean goes.
constexpr std::pair<double LineTraction::*, double LineTraction::*> averaged[] = {
    {&LineTraction::peel, &LineTraction::mean_peel},
    {&LineTraction::shear, &LineTraction::mean_shear},
    {&LineTraction::shear_across, &LineTraction::mean_shear_across}};

// Of an element's row of nodes along the limb, from root to tip; of two strips that share them the mean.
struct ElementRow
{
  std::array<LineTraction, 3> at{};
  int count = 0;

  Piece piece(double LineTraction::*value) const
  {
    return {at[0].station, at[2].station, {at[0].*value / count, at[1].*value / count, at[2].*value / count}};
  }
};
} // namespace

template <int dim>
std::vector<LineTraction> line_tractions(const LayeredSolid<dim> &solid, int line, const Eigen::VectorXd &u,
                                         double averaging_length, Sampling sampling)
{
  // Neighbouring elements share a place to the last bit: both take it from the same node.
  std::map<double, std::map<double, ElementRow>> rows; // by across, by station of the end toward the root
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
      ElementRow &row = rows[node.across][solid.nodes()[element.belly_nodes[k - k % 3]].station];
      LineTraction &sum = row.at[k % 3];
      sum.station = node.station;
      sum.across = node.across;
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
      row.count += k % 3 == 0 ? 1 : 0;
    }
  }

  std::vector<LineTraction> points;
  for (const auto &[across, elements] : rows)
  {
    const std::size_t first = points.size();
    for (const auto &[station, element] : elements)
    {
      const double length = element.at[2].station - station;
      const bool between = sampling == Sampling::fine && length <= averaging_length;
      const int n = between ? std::max(2, static_cast<int>(std::ceil(length / (sampling_share * averaging_length)))) : 2;
      for (int i = 0; i <= n; ++i)
      {
        const double x = static_cast<double>(i) / n;
        LineTraction point = element.at[2 * i == n ? 1 : 2 * i < n ? 0 : 2];
        point.station = i == 0 ? station : i == n ? element.at[2].station : 2 * i == n ? point.station : station + x * length;
        for (double LineTraction::*value :
             {&LineTraction::thickness, &LineTraction::peel, &LineTraction::shear, &LineTraction::shear_across})
          point.*value = element.piece(value).at(point.station);
        if (i > 0 || points.size() == first)
        {
          points.push_back(point);
          continue;
        }
        // Where elements meet: the mean of both.
        LineTraction &shared = points.back();
        for (double LineTraction::*value :
             {&LineTraction::thickness, &LineTraction::peel, &LineTraction::shear, &LineTraction::shear_across})
          shared.*value = 0.5 * (shared.*value + point.*value);
        shared.parted = std::max(shared.parted, point.parted);
        shared.let_go = std::max(shared.let_go, point.let_go);
        shared.opened = std::max(shared.opened, point.opened);
      }
    }
    for (const auto &[raw, into] : averaged)
    {
      std::vector<Piece> along;
      for (const auto &[station, element] : elements)
        along.push_back(element.piece(raw));
      for (std::size_t i = first; i < points.size(); ++i)
        points[i].*into = mean_around(along, points[i].station, averaging_length);
    }
  }
  if constexpr (dim == 3)
  {
    std::map<double, std::vector<std::size_t>> columns; // by station
    for (std::size_t i = 0; i < points.size(); ++i)
      columns[points[i].station].push_back(i);
    for (const auto &[station, list] : columns)
      for (const auto &[raw, into] : averaged)
      {
        std::vector<double> place, value;
        for (const std::size_t i : list)
        {
          place.push_back(0.5 * points[i].across * solid.shape().width(station));
          value.push_back(points[i].*into);
        }
        const std::vector<Piece> across = pieces(place, value);
        for (std::size_t i = 0; i < list.size(); ++i)
          points[list[i]].*into = mean_around(across, place[i], averaging_length);
      }
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
      std::vector<double> across, values;
      for (const LineTraction *point : column)
      {
        across.push_back(point->across);
        values.push_back(point->*value);
      }
      if (across.size() > 1)
        sum.*value = mean(pieces(across, values), across.front(), across.back());
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

template std::vector<LineTraction> line_tractions(const LayeredSolid<2> &, int, const Eigen::VectorXd &, double, Sampling);
template std::vector<LineTraction> line_tractions(const LayeredSolid<3> &, int, const Eigen::VectorXd &, double, Sampling);
} // namespace limbwright
