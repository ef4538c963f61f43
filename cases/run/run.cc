#include "cases/run/run.h"

#include "solver/stages/draw_bow.h"

#include <cmath>

namespace limbwright
{
namespace
{
// Whole inches of draw as the case tells them, from just above brace to full draw. [m] pivot to nocking point
std::vector<double> whole_inches(const Case &bow_case)
{
  constexpr double inch = 0.0254;
  const double offset = convention_offset(bow_case);
  std::vector<double> draws;
  for (int told = static_cast<int>(std::ceil((bow_case.bow.brace_height + offset) / inch));
       told * inch - offset < bow_case.bow.full_draw; ++told)
    draws.push_back(told * inch - offset);
  return draws;
}
} // namespace

DrawResults run_draw(const Case &bow_case, const std::filesystem::path &fields_dir, const ProgressListener &listener,
                     const std::atomic<bool> *stop, const PathKeeping &keeping)
{
  const auto progress = [&](const PathProgress &event)
  {
    if (listener)
      listener({event.stage, event.step, event.n_steps, event.draw, event.iterations, event.n_following});
  };
  return draw_bow(bow_in_use(bow_case).bow, bow_case.mesh, bow_case.solve, whole_inches(bow_case), fields_dir, progress, stop,
                  keeping);
}
} // namespace limbwright
