# Shared by the scripts: where the tree is, how many jobs fit, how to become root. Sourced, not run.

cd "$(dirname "${BASH_SOURCE[0]}")/.."
root="$PWD"

say()
{
  printf '== %s\n' "$*"
}

fail()
{
  printf 'error: %s\n' "$*" >&2
  exit 1
}

as_root()
{
  if [ "$(id -u)" -eq 0 ]; then
    "$@"
  elif command -v sudo >/dev/null; then
    sudo "$@"
  else
    fail "this needs root, and there is no sudo: $*"
  fi
}

# A unit that includes deal.II takes up to 1.7 GB while it compiles: as many jobs as there are cores and room for.
n_jobs()
{
  local cores memory_mb limit
  cores=$(env -u OMP_NUM_THREADS nproc) # nproc would take the threads set below for cores
  memory_mb=$(awk '/^MemAvailable:/ {print int($2 / 1024)}' /proc/meminfo)
  # A container may be allowed less than the machine has.
  if [ -r /sys/fs/cgroup/memory.max ]; then
    limit=$(cat /sys/fs/cgroup/memory.max)
    if [ "$limit" != max ] && [ $((limit / 1048576)) -lt "$memory_mb" ]; then
      memory_mb=$((limit / 1048576))
    fi
  fi
  local jobs=$((memory_mb / 1700))
  if [ "$jobs" -lt 1 ]; then jobs=1; fi
  if [ "$jobs" -gt "$cores" ]; then jobs=$cores; fi
  echo "$jobs"
}

# One thread a process, as several run side by side; and Open MPI otherwise refuses to start as root.
export OPENBLAS_NUM_THREADS="${OPENBLAS_NUM_THREADS:-1}"
export OMP_NUM_THREADS="${OMP_NUM_THREADS:-1}"
export OMPI_ALLOW_RUN_AS_ROOT=1 OMPI_ALLOW_RUN_AS_ROOT_CONFIRM=1
