#include "solver/model/symmetric_matrix.h"

#include <algorithm>
#include <cassert>
#include <utility>

namespace limbwright
{
double OuterProduct::dot(const Eigen::VectorXd &x) const
{
  double sum = 0.;
  for (std::size_t i = 0; i < unknowns.size(); ++i)
    sum += values[static_cast<Eigen::Index>(i)] * x[unknowns[i]];
  return sum;
}

int SymmetricMatrix::announce(const std::vector<int> &unknowns)
{
  assert(!is_closed);
  elements.push_back({unknowns, {}});
  return static_cast<int>(elements.size()) - 1;
}

void SymmetricMatrix::close(int n, Eigen::VectorXd positions)
{
  along = std::move(positions);
  std::vector<std::vector<int>> rows_of_column(n);
  for (int i = 0; i < n; ++i)
    rows_of_column[i].push_back(i);
  for (const Element &element : elements)
    for (const int j : element.unknowns)
      for (const int i : element.unknowns)
        if (i > j)
          rows_of_column[j].push_back(i);

  matrix.resize(n, n);
  std::vector<int> start(n + 1, 0);
  for (int j = 0; j < n; ++j)
  {
    auto &rows = rows_of_column[j];
    std::sort(rows.begin(), rows.end());
    rows.erase(std::unique(rows.begin(), rows.end()), rows.end());
    start[j + 1] = start[j] + static_cast<int>(rows.size());
  }
  matrix.resizeNonZeros(start[n]);
  std::copy(start.begin(), start.end(), matrix.outerIndexPtr());
  for (int j = 0; j < n; ++j)
    std::copy(rows_of_column[j].begin(), rows_of_column[j].end(), matrix.innerIndexPtr() + start[j]);

  for (Element &element : elements)
  {
    const auto &id = element.unknowns;
    for (std::size_t j = 0; j < id.size(); ++j)
      for (std::size_t i = j; i < id.size(); ++i)
      {
        const int row = std::max(id[i], id[j]), column = std::min(id[i], id[j]);
        const auto &rows = rows_of_column[column];
        element.position.push_back(start[column] +
                                   static_cast<int>(std::lower_bound(rows.begin(), rows.end(), row) - rows.begin()));
      }
  }
  is_closed = true;
  set_zero();
}

void SymmetricMatrix::set_zero()
{
  std::fill_n(matrix.valuePtr(), matrix.nonZeros(), 0.);
  skew_entries.clear();
  products.clear();
}

void SymmetricMatrix::add(int element, const Eigen::Ref<const Eigen::MatrixXd> &block)
{
  const int *position = elements[element].position.data();
  double *values = matrix.valuePtr();
  for (int j = 0; j < block.cols(); ++j)
    for (int i = j; i < block.rows(); ++i)
      values[*position++] += block(i, j);
}

void SymmetricMatrix::add_skew(int element, const Eigen::Ref<const Eigen::MatrixXd> &block)
{
  const std::vector<int> &id = elements[element].unknowns;
  for (std::size_t j = 0; j < id.size(); ++j)
    for (std::size_t i = 0; i < j; ++i)
    {
      const double half = 0.5 * (block(i, j) - block(j, i));
      skew_entries.emplace_back(id[i], id[j], half);
      skew_entries.emplace_back(id[j], id[i], -half);
    }
}
} // namespace limbwright
