#include "solver/stages/distributed_solver.h"

#include <dmumps_c.h>

#include <string>

namespace limbwright
{
namespace
{
using Matrix = Eigen::SparseMatrix<double>;

// The numbers below are those of the MUMPS users' guide 5.5; it counts from one.
enum Job
{
  begin = -1,
  end = -2,
  analyse = 1,
  factor = 2,
  back_substitute = 3
};
enum Kind // SYM
{
  general = 0,
  without_pivots = 1,
  with_pivots = 2
};

bool too_narrow(int error) // work space or a message buffer came out too small: worth trying with more of it
{
  return error == -8 || error == -9 || error == -14 || error == -15 || error == -17 || error == -20;
}

// [%] work space beyond what the analysis expects, at first and at most; doubled in between.
constexpr int first_margin = 20, last_margin = 320;
// Without a search for pivots a factor of an indefinite matrix may be worthless: [1] residual over right-hand side allowed.
constexpr double sound_residual = 1e-6;

// One MUMPS instance: an analysed pattern and its factor. Its distributed entries lie in the rank's own matrix.
class Instance
{
public:
  const Kind kind;

  Instance(const Communicator &communicator, Kind its_kind) : kind(its_kind), several(communicator)
  {
    data.sym = kind;
    data.par = 1; // the first rank works, too
    data.comm_fortran = communicator.fortran_handle();
    run(begin);
    for (const int silent : {1, 2, 3})
      set(silent, -1);
    set(4, 0);
    set(5, 0);
    // MUMPS chooses the order: on limbs PORD, see "Figures" in DEVELOPERS.md. PORD asked for by itself ends the program where
    // every unknown touches every other.
    set(7, 7);
    set(13, 1); // no ScaLAPACK at the root, which could not count negative pivots
    set(14, first_margin);
    set(18, 3); // distributed entries, which are summed where ranks share them
    set(28, 1);
  }
  ~Instance() { run(end); }
  Instance(const Instance &) = delete;
  Instance &operator=(const Instance &) = delete;

  void take(const Matrix &own)
  {
    const bool same = analysed && own.nonZeros() == static_cast<Eigen::Index>(rows.size());
    data.a_loc = const_cast<double *>(own.valuePtr()); // read only
    if (!several.any(!same))
      return;
    rows.resize(own.nonZeros());
    columns.resize(own.nonZeros());
    std::size_t at = 0;
    for (int j = 0; j < own.outerSize(); ++j)
      for (Matrix::InnerIterator entry(own, j); entry; ++entry, ++at)
      {
        rows[at] = static_cast<int>(entry.row()) + 1;
        columns[at] = j + 1;
      }
    data.n = static_cast<int>(own.rows());
    data.nnz_loc = static_cast<MUMPS_INT8>(rows.size());
    data.irn_loc = rows.data();
    data.jcn_loc = columns.data();
    run(analyse);
    check("analysing the stiffness matrix");
    analysed = true;
  }

  // False: singular.
  bool factorise()
  {
    run(factor);
    for (int margin = 2 * first_margin; too_narrow(info(1)) && margin <= last_margin; margin *= 2)
    {
      set(14, margin);
      run(factor);
    }
    if (info(1) == -10 || info(1) == -40)
      return false;
    check("factorising the stiffness matrix");
    return true;
  }

  void solve(Eigen::MatrixXd &values) // in place on the first rank, and from there on all
  {
    data.rhs = values.data();
    data.nrhs = static_cast<int>(values.cols());
    data.lrhs = static_cast<int>(values.rows());
    run(back_substitute);
    check("solving with the factorised stiffness matrix");
    several.share(values);
  }

  int negative_pivots() const { return info(12); }
  DistributedSolver::Memory expected() const { return {double(info(16)), double(info(17))}; }

private:
  void run(Job job)
  {
    data.job = job;
    dmumps_c(&data);
  }
  void set(int control, int value) { data.icntl[control - 1] = value; }
  int info(int item) const { return data.infog[item - 1]; }

  void check(const std::string &doing) const
  {
    const int error = info(1);
    if (error >= 0)
      return;
    const std::string numbers = " (MUMPS: " + std::to_string(error) + ", " + std::to_string(info(2)) + ")";
    if (too_narrow(error) || error == -7 || error == -13 || error == -19)
      throw NotEnoughMemory("the memory ended while " + doing + ": " + std::to_string(info(16)) +
                            " MB were expected on the rank with the most, " + std::to_string(info(17)) +
                            " MB on all; use a coarser mesh, or more ranks on more machines" + numbers);
    throw std::logic_error("an error while " + doing + numbers);
  }

  Communicator several;
  DMUMPS_STRUC_C data = {};
  std::vector<int> rows, columns;
  bool analysed = false;
};
} // namespace

struct DistributedSolver::Implementation
{
  Communicator communicator;
  std::unique_ptr<Instance> at_hand = nullptr; // the only one: two factors may not fit into the memory
  Matrix whole = {};                           // the rank's own part, both triangles, for the general factorisation
  bool search_pivots = false;                  // the last symmetric matrix needed it
  int n_negative = -1;

  Instance &instance(Kind kind)
  {
    if (!at_hand || at_hand->kind != kind)
    {
      at_hand.reset();
      at_hand = std::make_unique<Instance>(communicator, kind);
    }
    return *at_hand;
  }

  // Factorises the rank's own part by the given kind.
  bool by(Kind kind, const Matrix &own)
  {
    instance(kind).take(own);
    return at_hand->factorise();
  }

  bool sound(const Matrix &own)
  {
    const Eigen::VectorXd ones = Eigen::VectorXd::Ones(own.rows());
    const auto product = [&](const Eigen::VectorXd &vector)
    {
      Eigen::MatrixXd result = own.selfadjointView<Eigen::Lower>() * vector;
      communicator.sum(result);
      return result;
    };
    const Eigen::MatrixXd right = product(ones);
    Eigen::MatrixXd solution = right;
    at_hand->solve(solution);
    return (product(solution) - right).norm() <= sound_residual * right.norm(); // not met where anything is not finite
  }

  bool symmetric(const Matrix &own)
  {
    if (!search_pivots)
    {
      const bool done = by(without_pivots, own);
      n_negative = done ? at_hand->negative_pivots() : -1;
      if (n_negative == 0 || (done && sound(own)))
        return true;
    }
    const bool done = by(with_pivots, own);
    n_negative = done ? at_hand->negative_pivots() : -1;
    search_pivots = done && (n_negative == 0 || sound(own));
    return search_pivots;
  }
};

DistributedSolver::DistributedSolver(const Communicator &communicator) : implementation(new Implementation{communicator})
{
}

DistributedSolver::~DistributedSolver() = default;
DistributedSolver::DistributedSolver(DistributedSolver &&) noexcept = default;

bool DistributedSolver::factorise(const Matrix &own_lower, const std::vector<Eigen::Triplet<double>> &own_skew)
{
  auto &self = *implementation;
  const bool done = self.symmetric(own_lower);
  if (!self.communicator.any(!own_skew.empty()))
    return done;
  Matrix part(own_lower.rows(), own_lower.cols());
  part.setFromTriplets(own_skew.begin(), own_skew.end());
  self.whole = own_lower.selfadjointView<Eigen::Lower>();
  self.whole += part;
  return self.by(general, self.whole);
}

Eigen::MatrixXd DistributedSolver::solve(const Eigen::MatrixXd &rhs) const
{
  Eigen::MatrixXd solution = rhs;
  implementation->at_hand->solve(solution);
  return solution;
}

int DistributedSolver::n_negative() const
{
  return implementation->n_negative;
}

DistributedSolver::Memory DistributedSolver::expected_memory(const Matrix &own_lower)
{
  auto &self = *implementation;
  Instance &first = self.instance(self.search_pivots ? with_pivots : without_pivots);
  first.take(own_lower);
  return first.expected();
}
} // namespace limbwright
