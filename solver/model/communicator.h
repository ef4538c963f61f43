#pragma once

#include <Eigen/Core>

namespace limbwright
{
/// The processes that solve one limb together. Every rank holds all unknowns, and of the limb its own stretch of columns.
class Communicator
{
public:
  /// This process by itself; needs no MPI.
  static Communicator alone() { return Communicator(false); }
  /// The ranks mpirun started, or this process by itself where it was started without. Starts MPI unless it runs already.
  static Communicator world();

  /// Whether this is world(), and not alone().
  bool starts_mpi() const { return of_mpi; }
  int rank() const { return own_rank; }
  int n_ranks() const { return n; }
  int n_on_this_machine() const { return on_this_machine; }
  /// The MPI communicator as Fortran numbers it. Starts MPI unless it runs already.
  int fortran_handle() const;

  /// What follows is called by all ranks alike.
  /// Replaces values by their sum over the ranks, the same to the last bit on each.
  void sum(Eigen::Ref<Eigen::MatrixXd> values) const;
  double sum(double value) const;
  bool any(bool value) const;
  /// Replaces values by those of the first rank.
  void share(Eigen::Ref<Eigen::MatrixXd> values) const;

private:
  explicit Communicator(bool several);
  bool of_mpi = false;
  int own_rank = 0, n = 1, on_this_machine = 1;
};
} // namespace limbwright
