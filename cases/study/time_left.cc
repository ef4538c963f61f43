#include "cases/study/time_left.h"

#include <fmt/format.h>

namespace limbwright
{
std::string TimeLeft::words(std::size_t done) const
{
  const double spent = std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
  const std::string text = fmt::format("{} of {}", done, pieces);
  if (done == 0 || done >= pieces)
    return text;
  const double left = spent * static_cast<double>(pieces - done) / static_cast<double>(done);
  return text + (left < 90. ? fmt::format(", about {:.0f} s left", left) : fmt::format(", about {:.0f} min left", left / 60.));
}
} // namespace limbwright
