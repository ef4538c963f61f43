#pragma once

#include "cases/report/read_results.h"

namespace limbwright
{
/// Whether a run that was read back hangs together: every index names a lamination, glue line or flaw of its case, every state
/// has the limbs the bow has. What is told of a run relies on that. Throws std::runtime_error that says what does not.
void check_stored(const StoredRun &run);
} // namespace limbwright
