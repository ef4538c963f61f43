#include "solver/model/communicator.h"

#include <mpi.h>

#include <algorithm>
#include <cstdlib>

namespace limbwright
{
namespace
{
// Ends MPI with the program, where it was begun here.
class Session
{
public:
  Session()
  {
    int begun = 0;
    MPI_Initialized(&begun);
    ours = begun == 0;
    if (ours)
      MPI_Init(nullptr, nullptr);
  }
  ~Session()
  {
    int ended = 0;
    MPI_Finalized(&ended);
    if (ours && ended == 0)
      MPI_Finalize();
  }
  Session(const Session &) = delete;
  Session &operator=(const Session &) = delete;

private:
  bool ours = false;
};

void begin_mpi()
{
  static const Session session;
}

// One call moves at most so many numbers: MPI counts in int.
constexpr Eigen::Index at_once = 1 << 24;

template <class Move>
void in_pieces(Eigen::Ref<Eigen::MatrixXd> values, const Move &move)
{
  for (Eigen::Index j = 0; j < values.cols(); ++j)
    for (Eigen::Index i = 0; i < values.rows(); i += at_once)
      move(&values(i, j), static_cast<int>(std::min(at_once, values.rows() - i)));
}
} // namespace

Communicator::Communicator(bool several) : of_mpi(several)
{
  if (!several)
    return;
  begin_mpi();
  MPI_Comm_rank(MPI_COMM_WORLD, &own_rank);
  MPI_Comm here = MPI_COMM_NULL;
  MPI_Comm_split_type(MPI_COMM_WORLD, MPI_COMM_TYPE_SHARED, 0, MPI_INFO_NULL, &here);
  MPI_Comm_size(here, &on_this_machine);
  MPI_Comm_free(&here);
  MPI_Comm_size(MPI_COMM_WORLD, &n);
}

Communicator Communicator::world()
{
  return Communicator(true);
}

int Communicator::fortran_handle() const
{
  begin_mpi();
  return static_cast<int>(MPI_Comm_c2f(n > 1 ? MPI_COMM_WORLD : MPI_COMM_SELF));
}

// Summed on the first rank and sent from there: MPI_Allreduce need not give every rank the same last bit, and ranks that differ
// in one would part ways at the next comparison.
void Communicator::sum(Eigen::Ref<Eigen::MatrixXd> values) const
{
  if (n == 1)
    return;
  in_pieces(values, [&](double *begin, int count)
            { MPI_Reduce(own_rank == 0 ? MPI_IN_PLACE : begin, begin, count, MPI_DOUBLE, MPI_SUM, 0, MPI_COMM_WORLD); });
  share(values);
}

double Communicator::sum(double value) const
{
  Eigen::Matrix<double, 1, 1> values(value);
  sum(values);
  return values(0);
}

bool Communicator::any(bool value) const
{
  return sum(value ? 1. : 0.) > 0.;
}

void Communicator::share(Eigen::Ref<Eigen::MatrixXd> values) const
{
  if (n == 1)
    return;
  in_pieces(values, [](double *begin, int count) { MPI_Bcast(begin, count, MPI_DOUBLE, 0, MPI_COMM_WORLD); });
}
} // namespace limbwright
