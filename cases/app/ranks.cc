#include "cases/app/ranks.h"

#include "cases/app/terminal.h"

#include <mpi.h>

#include <csignal>

#include <sched.h>
#include <sys/prctl.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstdlib>
#include <exception>
#include <string>
#include <vector>

namespace limbwright
{
namespace
{
bool started_by_mpirun()
{
  return std::getenv("OMPI_COMM_WORLD_SIZE") != nullptr || std::getenv("PMI_RANK") != nullptr;
}

bool done_well(const std::function<void(int, int)> &share, int rank, int n_ranks)
{
  try
  {
    share(rank, n_ranks);
    return true;
  }
  catch (const std::exception &failure)
  {
    warn(std::string("limbwright: ") + failure.what() + "\n");
    return false;
  }
}

bool on_mpi_ranks(const std::function<void(int, int)> &share)
{
  int rank = 0, n_ranks = 1;
  MPI_Init(nullptr, nullptr);
  MPI_Comm_rank(MPI_COMM_WORLD, &rank);
  MPI_Comm_size(MPI_COMM_WORLD, &n_ranks);
  int mine = done_well(share, rank, n_ranks) ? 1 : 0, all = 0;
  MPI_Allreduce(&mine, &all, 1, MPI_INT, MPI_MIN, MPI_COMM_WORLD);
  MPI_Finalize();
  if (rank != 0)
    ::_exit(0); // the first one tells
  return all == 1;
}
} // namespace

bool on_all_ranks(int n_processes, const std::function<void(int, int)> &share)
{
  if (started_by_mpirun())
    return on_mpi_ranks(share);
  std::vector<pid_t> others;
  bool well = true;
  for (int rank = 1; rank < n_processes; ++rank)
  {
    const pid_t process = ::fork();
    if (process == 0)
    {
      ::prctl(PR_SET_PDEATHSIG, SIGTERM); // nobody would wait for it
      ::_exit(done_well(share, rank, n_processes) ? 0 : 1);
    }
    if (process > 0)
      others.push_back(process);
    else
      well = false; // its share is left undone, and told as such
  }
  well = done_well(share, 0, n_processes) && well;
  for (const pid_t process : others)
  {
    int status = 0;
    while (::waitpid(process, &status, 0) < 0 && errno == EINTR)
      continue;
    well = well && WIFEXITED(status) && WEXITSTATUS(status) == 0;
  }
  return well;
}

int rank_under_mpirun()
{
  for (const char *name : {"OMPI_COMM_WORLD_RANK", "PMI_RANK"})
    if (const char *rank = std::getenv(name))
      return std::atoi(rank);
  return 0;
}

void end_all_ranks(int exit_code)
{
  int begun = 0, ended = 0, n = 1;
  MPI_Initialized(&begun);
  MPI_Finalized(&ended);
  if (begun == 0 || ended != 0)
    return;
  MPI_Comm_size(MPI_COMM_WORLD, &n);
  if (n > 1)
    MPI_Abort(MPI_COMM_WORLD, exit_code);
}

int n_processors()
{
  cpu_set_t set;
  return ::sched_getaffinity(0, sizeof set, &set) == 0 ? std::max(1, CPU_COUNT(&set)) : 1;
}
} // namespace limbwright
