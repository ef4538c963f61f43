#include "solver/stages/chain_factor.h"

#include "solver/stages/front_kernels.h"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <utility>

namespace limbwright
{
namespace
{
using Matrix = Eigen::SparseMatrix<double>;

// By unknown, who shares an entry with it.
std::vector<std::vector<int>> neighbors(const Matrix &lower)
{
  std::vector<std::vector<int>> result(static_cast<std::size_t>(lower.cols()));
  for (int j = 0; j < lower.outerSize(); ++j)
    for (Matrix::InnerIterator entry(lower, j); entry; ++entry)
      if (entry.row() != j)
      {
        result[static_cast<std::size_t>(j)].push_back(static_cast<int>(entry.row()));
        result[static_cast<std::size_t>(entry.row())].push_back(j);
      }
  return result;
}

using Levels = std::vector<std::vector<int>>;

// Distances in the graph from an unknown, appended; `seen` by unknown.
void add_levels(Levels &levels, int start, const std::vector<std::vector<int>> &graph, std::vector<bool> &seen)
{
  seen[static_cast<std::size_t>(start)] = true;
  for (std::vector<int> level = {start}; !level.empty();)
  {
    std::vector<int> next;
    for (const int i : level)
      for (const int j : graph[static_cast<std::size_t>(i)])
        if (!seen[static_cast<std::size_t>(j)])
        {
          seen[static_cast<std::size_t>(j)] = true;
          next.push_back(j);
        }
    levels.push_back(std::move(level));
    level = std::move(next);
  }
}

// From one end of every connected part: what is farthest from what is farthest from any of it.
Levels chain_levels(const std::vector<std::vector<int>> &graph)
{
  Levels levels;
  std::vector<bool> seen(graph.size(), false);
  for (std::size_t i = 0; i < graph.size(); ++i)
  {
    if (seen[i])
      continue;
    int end = static_cast<int>(i);
    for (int n = 0; n < 2; ++n)
    {
      Levels trial;
      std::vector<bool> in_trial = seen;
      add_levels(trial, end, graph, in_trial);
      end = trial.back().front();
    }
    add_levels(levels, end, graph, seen);
  }
  return levels;
}
} // namespace

void ChainFactor::analyse(const Matrix &lower, const Eigen::VectorXd &positions)
{
  if (positions.size() == 0)
    return make_fronts(lower, chain_levels(neighbors(lower)));
  std::vector<int> order(static_cast<std::size_t>(lower.cols()));
  std::iota(order.begin(), order.end(), 0);
  std::stable_sort(order.begin(), order.end(), [&](int i, int j) { return positions[i] < positions[j]; });
  constexpr double same = 1e-9; // [1] of the line's length
  const double length = positions.maxCoeff() - positions.minCoeff();
  std::vector<std::vector<int>> groups;
  for (const int i : order)
  {
    if (groups.empty() || positions[i] - positions[groups.back().front()] > same * length)
      groups.emplace_back();
    groups.back().push_back(i);
  }
  make_fronts(lower, groups);
}

void ChainFactor::make_fronts(const Matrix &lower, const std::vector<std::vector<int>> &groups)
{
  const auto n = static_cast<std::size_t>(lower.cols());
  std::vector<std::size_t> last(n); // by unknown: the farthest group that it knows
  for (std::size_t k = 0; k < groups.size(); ++k)
    for (const int i : groups[k])
      last[static_cast<std::size_t>(i)] = k;
  const std::vector<std::size_t> own = last;
  for (int j = 0; j < lower.outerSize(); ++j)
    for (Matrix::InnerIterator entry(lower, j); entry; ++entry)
    {
      const auto row = static_cast<std::size_t>(entry.row()), column = static_cast<std::size_t>(j);
      last[row] = std::max(last[row], own[column]);
      last[column] = std::max(last[column], own[row]);
    }

  fronts.clear();
  std::vector<int> front_of(n), open; // open: taken up, and not yet eliminated
  for (std::size_t k = 0; k < groups.size(); ++k)
  {
    open.insert(open.end(), groups[k].begin(), groups[k].end());
    const auto rest =
        std::stable_partition(open.begin(), open.end(), [&](int i) { return last[static_cast<std::size_t>(i)] <= k; });
    if (rest == open.begin())
      continue;
    for (auto i = open.begin(); i != rest; ++i)
      front_of[static_cast<std::size_t>(*i)] = static_cast<int>(fronts.size());
    Front front;
    front.unknowns = open;
    front.n_pivots = static_cast<int>(rest - open.begin());
    fronts.push_back(std::move(front));
    open.erase(open.begin(), rest);
  }

  places.resize(static_cast<std::size_t>(lower.nonZeros()));
  for (int j = 0; j < lower.outerSize(); ++j)
    for (int index = lower.outerIndexPtr()[j]; index < lower.outerIndexPtr()[j + 1]; ++index)
    {
      const int i = lower.innerIndexPtr()[index];
      const int front = std::min(front_of[static_cast<std::size_t>(i)], front_of[static_cast<std::size_t>(j)]);
      places[static_cast<std::size_t>(index)] = {front, i, j};
      fronts[static_cast<std::size_t>(front)].entries.push_back(index);
    }
  first_pivot.assign(1, 0);
  std::vector<int> row_of(n); // in the front at hand
  for (std::size_t k = 0; k < fronts.size(); ++k)
  {
    Front &front = fronts[k];
    for (int row = 0; row < front.n(); ++row)
      row_of[static_cast<std::size_t>(front.unknowns[static_cast<std::size_t>(row)])] = row;
    for (const int index : front.entries)
    {
      Place &place = places[static_cast<std::size_t>(index)];
      place.row = row_of[static_cast<std::size_t>(place.row)];
      place.column = row_of[static_cast<std::size_t>(place.column)];
    }
    if (k > 0)
      for (int i = fronts[k - 1].n_pivots; i < fronts[k - 1].n(); ++i)
        front.passed.push_back(row_of[static_cast<std::size_t>(fronts[k - 1].unknowns[static_cast<std::size_t>(i)])]);
    first_pivot.push_back(first_pivot.back() + static_cast<std::size_t>(front.n_pivots));
  }
  start.clear();
}

double ChainFactor::mean_front() const
{
  double work = 0.;
  for (const Front &front : fronts)
    work += static_cast<double>(front.n_pivots) * front.n() * front.n();
  return std::sqrt(work / static_cast<double>(first_pivot.back()));
}

void ChainFactor::lay_out(bool all_columns)
{
  if (!start.empty() && symmetric != all_columns)
    return;
  symmetric = !all_columns;
  start.clear();
  std::size_t end = 0, needed = 0;
  for (const Front &front : fronts)
  {
    const auto column = static_cast<std::size_t>(front_stride(front.n()));
    start.push_back(end);
    // What is left of a front lies where the next one begins, and is taken from there first.
    needed = std::max(needed, end + column * static_cast<std::size_t>(front.n()));
    end += column * static_cast<std::size_t>(all_columns ? front.n() : front.n_pivots);
  }
  values.resize(needed);
  diagonal.resize(first_pivot.back());
  exchanged.resize(first_pivot.back());
}

template <typename Eliminate>
bool ChainFactor::eliminate(const Matrix &lower, const std::vector<Eigen::Triplet<double>> &skew, bool all_columns,
                            const Eliminate &eliminate_front)
{
  lay_out(all_columns);
  struct Skew
  {
    std::ptrdiff_t row, column;
    double value;
  };
  std::vector<std::vector<Skew>> skew_of(all_columns ? fronts.size() : 0);
  for (const auto &entry : skew)
  {
    const auto [column, row] = std::minmax({entry.row(), entry.col()});
    const int *rows = lower.innerIndexPtr();
    const auto index =
        std::lower_bound(rows + lower.outerIndexPtr()[column], rows + lower.outerIndexPtr()[column + 1], row) - rows;
    const Place &at = places[static_cast<std::size_t>(index)];
    auto &list = skew_of[static_cast<std::size_t>(at.front)];
    if (entry.row() == row)
      list.push_back({at.row, at.column, entry.value()});
    else
      list.push_back({at.column, at.row, entry.value()});
  }
  std::vector<double> rest; // of the last front, by columns
  for (std::size_t k = 0; k < fronts.size(); ++k)
  {
    const Front &front = fronts[k];
    const std::ptrdiff_t n = front.n(), n_rest = n - front.n_pivots, stride = front_stride(front.n());
    double *of_front = values.data() + start[k];
    std::fill_n(of_front, stride * n, 0.);
    for (const int index : front.entries)
    {
      const Place &at = places[static_cast<std::size_t>(index)];
      const double value = lower.valuePtr()[index];
      const std::ptrdiff_t row = std::max(at.row, at.column), column = std::min(at.row, at.column);
      of_front[column * stride + row] = value;
      if (all_columns)
        of_front[row * stride + column] = value;
    }
    if (all_columns)
      for (const Skew &entry : skew_of[k])
        of_front[entry.column * stride + entry.row] += entry.value;
    const std::size_t n_passed = front.passed.size();
    for (std::size_t j = 0; j < n_passed; ++j)
      for (std::size_t i = all_columns ? 0 : j; i < n_passed; ++i)
      {
        std::ptrdiff_t row = front.passed[i], column = front.passed[j];
        if (!all_columns && row < column)
          std::swap(row, column);
        of_front[column * stride + row] += rest[j * n_passed + i];
      }
    if (!eliminate_front(k, of_front))
      return false;
    rest.resize(static_cast<std::size_t>(n_rest * n_rest));
    const double *left = of_front + front.n_pivots * (stride + 1);
    for (std::ptrdiff_t j = 0; j < n_rest; ++j)
      std::copy_n(left + j * stride, n_rest, rest.data() + j * n_rest);
  }
  return true;
}

void ChainFactor::factorise(const Matrix &lower)
{
  static_cast<void>(eliminate(lower, {}, false,
                              [&](std::size_t k, double *front)
                              {
                                eliminate_symmetric(front, fronts[k].n(), fronts[k].n_pivots, diagonal.data() + first_pivot[k]);
                                return true;
                              }));
}

bool ChainFactor::factorise(const Matrix &lower, const std::vector<Eigen::Triplet<double>> &skew)
{
  return eliminate(lower, skew, true,
                   [&](std::size_t k, double *front)
                   { return eliminate_general(front, fronts[k].n(), fronts[k].n_pivots, exchanged.data() + first_pivot[k]); });
}

int ChainFactor::n_negative() const
{
  return static_cast<int>(std::count_if(diagonal.begin(), diagonal.end(), [](double d) { return !(d > 0.); }));
}

Eigen::MatrixXd ChainFactor::solve(const Eigen::MatrixXd &rhs) const
{
  using Columns = Eigen::Map<const Eigen::MatrixXd, 0, Eigen::OuterStride<>>;
  Eigen::MatrixXd x = rhs, part;
  const auto gather = [&](const Front &front)
  {
    part.resize(front.n(), x.cols());
    for (int j = 0; j < x.cols(); ++j)
      for (int i = 0; i < front.n(); ++i)
        part(i, j) = x(front.unknowns[static_cast<std::size_t>(i)], j);
  };
  const auto scatter = [&](const Front &front)
  {
    for (int j = 0; j < x.cols(); ++j)
      for (int i = 0; i < front.n(); ++i)
        x(front.unknowns[static_cast<std::size_t>(i)], j) = part(i, j);
  };
  const auto of_front = [&](std::size_t k)
  {
    return Columns(values.data() + start[k], fronts[k].n(), symmetric ? fronts[k].n_pivots : fronts[k].n(),
                   Eigen::OuterStride<>(front_stride(fronts[k].n())));
  };
  // Column by column: right-hand sides are few, and products of matrices would copy the factor for them.
  for (std::size_t k = 0; k < fronts.size(); ++k)
  {
    const int p = fronts[k].n_pivots, n_rest = fronts[k].n() - p;
    const auto factor = of_front(k);
    gather(fronts[k]);
    for (int i = 0; i < p && !symmetric; ++i)
      part.row(i).swap(part.row(exchanged[first_pivot[k] + static_cast<std::size_t>(i)]));
    for (int j = 0; j < x.cols(); ++j)
    {
      auto pivots = part.col(j).head(p);
      factor.topLeftCorner(p, p).template triangularView<Eigen::UnitLower>().solveInPlace(pivots);
      part.col(j).tail(n_rest).noalias() -= factor.bottomLeftCorner(n_rest, p) * pivots;
    }
    if (symmetric)
      part.topRows(p).array().colwise() /= Eigen::Map<const Eigen::ArrayXd>(diagonal.data() + first_pivot[k], p);
    scatter(fronts[k]);
  }
  for (std::size_t k = fronts.size(); k-- > 0;)
  {
    const int p = fronts[k].n_pivots, n_rest = fronts[k].n() - p;
    const auto factor = of_front(k);
    gather(fronts[k]);
    for (int j = 0; j < x.cols(); ++j)
    {
      auto pivots = part.col(j).head(p);
      const auto rest = part.col(j).tail(n_rest);
      if (symmetric)
      {
        pivots.noalias() -= factor.bottomLeftCorner(n_rest, p).transpose() * rest;
        factor.topLeftCorner(p, p).template triangularView<Eigen::UnitLower>().transpose().solveInPlace(pivots);
      }
      else
      {
        pivots.noalias() -= factor.topRightCorner(p, n_rest) * rest;
        factor.topLeftCorner(p, p).template triangularView<Eigen::Upper>().solveInPlace(pivots);
      }
    }
    scatter(fronts[k]);
  }
  return x;
}
} // namespace limbwright
