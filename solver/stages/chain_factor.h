#pragma once

#include <Eigen/SparseCore>

#include <vector>

namespace limbwright
{
/// Direct factorisation of a sparse matrix whose unknowns lie along a line, as those of a limb's side view do: a dense front goes
/// along it (Irons 1970, Int. J. Numer. Meth. Engng 2:5), takes up the unknowns place by place, and eliminates those that share
/// no entry with any farther on.
class ChainFactor
{
public:
  /// lower: the lower triangle, whose pattern stays. positions: of the unknowns along the line; where there are none, levels of
  /// the pattern's graph (George and Liu 1981, Computer Solution of Large Sparse Positive Definite Systems, ch. 4).
  void analyse(const Eigen::SparseMatrix<double> &lower, const Eigen::VectorXd &positions = {});
  /// The work of a factorisation as the size of a front: of fronts of this many unknowns all, it would take as long.
  double mean_front() const;

  /// L D L^T without a search for pivots: of no accuracy where the matrix is near one that has none.
  void factorise(const Eigen::SparseMatrix<double> &lower);
  /// L U of the matrix and a skew part, whose entries lie within the pattern and are summed; pivots are sought within a front.
  /// False where there is none.
  [[nodiscard]] bool factorise(const Eigen::SparseMatrix<double> &lower, const std::vector<Eigen::Triplet<double>> &skew);
  /// How many values of the last symmetric factorisation's D are not positive.
  int n_negative() const;
  /// By the last factorisation. rhs: n x m.
  Eigen::MatrixXd solve(const Eigen::MatrixXd &rhs) const;

private:
  struct Front
  {
    std::vector<int> unknowns; // those eliminated here, then what goes on to the next front
    int n_pivots = 0;
    std::vector<int> passed;  // by unknown of the last front's rest: its row here
    std::vector<int> entries; // of the lower triangle's values, those assembled here
    int n() const { return static_cast<int>(unknowns.size()); }
  };
  struct Place
  {
    int front, row, column;
  };
  void make_fronts(const Eigen::SparseMatrix<double> &lower, const std::vector<std::vector<int>> &groups);
  /// The columns that are kept of each front: its pivots, or all.
  void lay_out(bool all_columns);
  template <typename Eliminate>
  bool eliminate(const Eigen::SparseMatrix<double> &lower, const std::vector<Eigen::Triplet<double>> &skew, bool all_columns,
                 const Eliminate &eliminate_front);

  std::vector<Front> fronts;
  std::vector<Place> places;            // by entry of the lower triangle: where it is assembled
  std::vector<std::size_t> start;       // by front, of its columns among the values
  std::vector<double> values, diagonal; // diagonal: D by front and pivot
  std::vector<int> exchanged;           // by front and pivot: eliminate_general()'s rows
  std::vector<std::size_t> first_pivot; // by front, of its pivots among all
  bool symmetric = true;
};
} // namespace limbwright
