// libFuzzer's way into what reads results.h5: the bytes say what is spoilt in the file that LIMBWRIGHT_FUZZ_RESULTS names.
#include "fuzz/results_promises.h"

#include <cstdint>
#include <cstdlib>
#include <stdexcept>
#include <string>

#include <unistd.h>

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t *data, std::size_t size)
{
  namespace fs = std::filesystem;
  static const char *sound = std::getenv("LIMBWRIGHT_FUZZ_RESULTS");
  if (sound == nullptr)
    throw std::runtime_error("LIMBWRIGHT_FUZZ_RESULTS must name a results.h5");
  static const fs::path spoilt = fs::temp_directory_path() / ("limbwright_fuzz_" + std::to_string(::getpid()) + ".h5");
  fs::copy_file(sound, spoilt, fs::copy_options::overwrite_existing);
  limbwright::fuzz::spoil_stored(spoilt, {data, size});
  limbwright::fuzz::tells_or_refuses(spoilt);
  fs::remove(spoilt);
  return 0;
}
