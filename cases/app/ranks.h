#pragma once

#include <functional>

namespace limbwright
{
/// Runs a task on every rank and returns on the first one only when all are done: on the ranks of mpirun where the program was
/// started by it, else on as many processes of this machine as told. `share` gets its rank and their number; an exception in one
/// is told, and makes the whole false. Elsewhere than on the first rank this does not return.
bool on_all_ranks(int n_processes, const std::function<void(int rank, int n_ranks)> &share);

/// This process's number among those of mpirun; 0 where it was started by itself.
int rank_under_mpirun();

/// Ends the other processes of mpirun, where there are any, and this one with them: after a failure that they know nothing of.
void end_all_ranks(int exit_code);

/// Processors this program may use.
int n_processors();
} // namespace limbwright
