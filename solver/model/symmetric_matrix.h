#pragma once

#include <Eigen/SparseCore>

#include <vector>

namespace limbwright
{
/// factor * a a^T, a sparse: what couples unknowns outside a matrix's pattern.
struct OuterProduct
{
  std::vector<int> unknowns;
  Eigen::VectorXd values; //!< of a, by unknown listed
  double factor = 0.;     //!< not zero

  double dot(const Eigen::VectorXd &x) const; //!< a . x
};

/// Lower triangle of a symmetric sparse matrix that is filled element by element, many times with one pattern; and the skew part
/// and the outer products that a few elements may add to it.
class SymmetricMatrix
{
public:
  /// Announces an element on these unknowns (no repeats); returns its number. Before close().
  int announce(const std::vector<int> &unknowns);
  /// Builds the pattern for n unknowns. positions: where each lies along what the matrix is of; none where that is no line.
  void close(int n, Eigen::VectorXd positions = {});
  const Eigen::VectorXd &positions() const { return along; }

  bool closed() const { return is_closed; }
  /// Whether string and loads are added to this one: of the parts of a sum over several processes, one alone.
  void take_loads(bool takes) { with_loads = takes; }
  bool takes_loads() const { return with_loads; }
  void set_zero();
  /// Adds a symmetric element matrix, its side as announced; only its lower triangle is read.
  void add(int element, const Eigen::Ref<const Eigen::MatrixXd> &block);

  /// Adds the skew part of an element matrix, its side as announced.
  void add_skew(int element, const Eigen::Ref<const Eigen::MatrixXd> &block);

  /// Adds a term that the pattern does not hold. In a sum over several processes all of them add the same.
  void add(OuterProduct product) { products.push_back(std::move(product)); }

  const std::vector<int> &unknowns(int element) const { return elements[element].unknowns; }
  const Eigen::SparseMatrix<double> &lower() const { return matrix; }
  /// Entries of the skew part, to be summed; none where the matrix is symmetric.
  const std::vector<Eigen::Triplet<double>> &skew() const { return skew_entries; }
  /// What belongs to the matrix beside lower() and skew().
  const std::vector<OuterProduct> &outer_products() const { return products; }

private:
  struct Element
  {
    std::vector<int> unknowns;
    std::vector<int> position; // of entry (i, j), i >= j, column by column
  };
  std::vector<Element> elements;
  Eigen::VectorXd along;
  Eigen::SparseMatrix<double> matrix;
  std::vector<Eigen::Triplet<double>> skew_entries;
  std::vector<OuterProduct> products;
  bool is_closed = false;
  bool with_loads = true;
};
} // namespace limbwright
