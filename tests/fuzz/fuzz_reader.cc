// libFuzzer's way into the case reader: an exception that leaves it, a signal, or more than a few seconds is a finding.
#include "fuzz/reader_promises.h"

#include <cstdint>

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t *data, std::size_t size)
{
  limbwright::fuzz::keeps_promises(std::string(reinterpret_cast<const char *>(data), size));
  return 0;
}
