#include "cases/study/pieces_done.h"

#include <fmt/format.h>

namespace limbwright
{
std::string left_words(double seconds)
{
  return seconds < 90. ? fmt::format(", about {:.0f} s left", seconds) : fmt::format(", about {:.0f} min left", seconds / 60.);
}

std::string PiecesDone::words(std::size_t done) const
{
  const double spent = std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
  const std::string text = fmt::format("{} of {} done", done, pieces);
  if (done == 0 || done >= pieces)
    return text;
  return text + left_words(spent * static_cast<double>(pieces - done) / static_cast<double>(done));
}
} // namespace limbwright
